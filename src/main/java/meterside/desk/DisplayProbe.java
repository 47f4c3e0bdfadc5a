package meterside.desk;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.StandardProtocolFamily;
import java.net.UnixDomainSocketAddress;
import java.nio.channels.SocketChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Whether a display answers, found out before the toolkit is touched: a toolkit that finds none
 * can't be asked again in the same process.
 *
 * <p>On X11 (and Wayland, whose desktops run an X server beside it) the variable {@code DISPLAY}
 * says {@code [host]:N[.screen]}: without a host, or with {@code unix}, the socket of X server N;
 * with one, TCP port 6000 + N. Elsewhere a display is taken for granted.
 */
final class DisplayProbe {
  private static final Pattern FORM = Pattern.compile("([^:]*):(\\d{1,5})(?:\\.\\d+)?");
  private static final int PATIENCE_MILLIS = 500;

  /** Where an X server listens. */
  sealed interface Where permits Local, Remote {}

  /** On this machine. */
  record Local(int number) implements Where {}

  /** Over the network. */
  record Remote(String host, int port) implements Where {}

  private DisplayProbe() {}

  /** Whether a display answers on this system. */
  static boolean answers() {
    String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
    if (os.contains("windows") || os.contains("mac")) {
      return true;
    }
    return where(System.getenv("DISPLAY")).map(w -> answers(w, Path.of("/tmp"))).orElse(false);
  }

  /** Where a DISPLAY points; empty if it is missing or malformed. */
  static Optional<Where> where(String display) {
    Matcher m = display == null ? null : FORM.matcher(display.strip());
    if (m == null || !m.matches()) {
      return Optional.empty();
    }
    int number = Integer.parseInt(m.group(2));
    String host = m.group(1);
    if (host.isEmpty() || host.equals("unix")) {
      return Optional.of(new Local(number));
    }
    return number > 65535 - 6000 ? Optional.empty() : Optional.of(new Remote(host, 6000 + number));
  }

  /**
   * Whether something listens there.
   *
   * @param temporary folder in which the servers' sockets lie
   */
  static boolean answers(Where where, Path temporary) {
    if (where instanceof Remote r) {
      try (Socket socket = new Socket()) {
        socket.connect(new InetSocketAddress(r.host(), r.port()), PATIENCE_MILLIS);
        return true;
      } catch (IOException | IllegalArgumentException e) {
        return false;
      }
    }
    int number = ((Local) where).number();
    Path file = temporary.resolve(".X11-unix").resolve("X" + number);
    if (!Files.exists(file)) {
      return false;
    }
    try (SocketChannel channel = SocketChannel.open(StandardProtocolFamily.UNIX)) {
      return channel.connect(UnixDomainSocketAddress.of(file));
    } catch (IOException | UnsupportedOperationException e) {
      return false;
    }
  }
}
