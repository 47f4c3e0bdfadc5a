package meterside.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.StandardProtocolFamily;
import java.net.UnixDomainSocketAddress;
import java.nio.channels.ServerSocketChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whether a display answers, and what the systems say of light and dark. */
class DeskStartTest {
  @TempDir Path temporary;

  @Test
  void aDisplayVariableSaysWhereItsServerListens() {
    // X(7), "Display Names": hostname:displaynumber.screennumber; a missing host is the local one.
    assertEquals(Optional.of(new DisplayProbe.Local(0)), DisplayProbe.where(":0"));
    assertEquals(Optional.of(new DisplayProbe.Local(99)), DisplayProbe.where("unix:99.0"));
    assertEquals(
        Optional.of(new DisplayProbe.Remote("localhost", 6010)),
        DisplayProbe.where("localhost:10.0"));
    assertEquals(Optional.empty(), DisplayProbe.where(null));
    assertEquals(Optional.empty(), DisplayProbe.where(""));
    assertEquals(Optional.empty(), DisplayProbe.where("nonsense"));
    assertEquals(Optional.empty(), DisplayProbe.where("host:70000"));
  }

  @Test
  void aLocalDisplayAnswersOnlyWhileItsServerListens() throws Exception {
    Path folder = Files.createDirectories(temporary.resolve(".X11-unix"));
    Path socket = folder.resolve("X7");
    DisplayProbe.Local seven = new DisplayProbe.Local(7);
    assertFalse(DisplayProbe.answers(seven, temporary));
    try (ServerSocketChannel server = ServerSocketChannel.open(StandardProtocolFamily.UNIX)) {
      server.bind(UnixDomainSocketAddress.of(socket));
      assertTrue(DisplayProbe.answers(seven, temporary));
    }
    assertTrue(Files.exists(socket), "a dead server leaves its socket behind");
    assertFalse(DisplayProbe.answers(seven, temporary));
  }

  @Test
  void aRemoteDisplayAnswersOnlyWhileItsPortIsOpen() throws Exception {
    int port;
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = server.getLocalPort();
      assertTrue(DisplayProbe.answers(new DisplayProbe.Remote("127.0.0.1", port), temporary));
    }
    assertFalse(DisplayProbe.answers(new DisplayProbe.Remote("127.0.0.1", port), temporary));
  }

  @Test
  void theSystemsAnswersAreReadAsLightOrDark() {
    assertTrue(SystemTheme.saysDark("'prefer-dark'\n"));
    assertFalse(SystemTheme.saysDark("'default'\n"));
    assertTrue(SystemTheme.saysDark("Dark\n"));
    assertTrue(SystemTheme.saysDark("    AppsUseLightTheme    REG_DWORD    0x0\r\n"));
    assertFalse(SystemTheme.saysDark("    AppsUseLightTheme    REG_DWORD    0x1\r\n"));
    assertEquals("defaults", SystemTheme.command("Mac OS X").get(0));
    assertEquals("reg", SystemTheme.command("Windows 11").get(0));
  }
}
