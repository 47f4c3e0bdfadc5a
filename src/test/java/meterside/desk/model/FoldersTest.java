package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What lies below one's own folder begins with a tilde, and is found again by that. */
class FoldersTest {
  private final String before = System.getProperty("user.home");

  @TempDir Path own;

  @AfterEach
  void back() {
    System.setProperty("user.home", before);
  }

  @Test
  void belowOnesOwnFolderBeginsWithATilde() {
    System.setProperty("user.home", own.toString());
    Path archive = own.resolve("Meterside").resolve("a b");
    String shown = Folders.shown(archive);
    assertEquals(Path.of("~", "Meterside", "a b").toString(), shown);
    assertEquals(archive, Folders.read(shown + " "));
    assertEquals(own.toString(), Folders.shown(own));
    Path beside = own.resolveSibling(own.getFileName() + "2");
    assertEquals(beside.toString(), Folders.shown(beside));
    assertEquals(beside, Folders.read(beside.toString()));
    assertEquals(Path.of("~x"), Folders.read("~x"));
  }
}
