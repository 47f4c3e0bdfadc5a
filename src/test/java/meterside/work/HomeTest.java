package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class HomeTest {
  @TempDir Path folder;

  @Test
  void takesWhatTheEnvironmentNames() {
    Home home =
        Home.of(Map.of("METERSIDE_HOME", "/x/home", "METERSIDE_ARCHIVE", "/x/a"), "Linux", "/u");
    assertEquals(Path.of("/x/home"), home.folder());
    assertEquals(Path.of("/x/a"), home.archive(Settings.FIRST));
  }

  @Test
  void elseTheSystemsUsualPlace() {
    assertEquals(Path.of("/u", ".config", "meterside"), Home.of(Map.of(), "Linux", "/u").folder());
    assertEquals(
        Path.of("/u", "Library", "Application Support", "Meterside"),
        Home.of(Map.of(), "Mac OS X", "/u").folder());
    assertEquals(
        Path.of("/r", "Meterside"), Home.of(Map.of("APPDATA", "/r"), "Windows 11", "/u").folder());
  }

  @Test
  void testsRunWithAHomeOfTheirOwn() {
    String real = System.getProperty("user.home");
    Home home = Home.ofEnvironment();
    assertTrue(home.folder().toString().contains("target"), "METERSIDE_HOME is not set: " + real);
    assertTrue(home.archive(Settings.FIRST).toString().contains("target"));
  }

  @Test
  void keepsSettingsAndStartsAfreshFromABrokenFile() throws Exception {
    Home home = new Home(folder, null);
    Settings.FIRST.withAuthor("R. Calder", "License 0000").withTheme("dark").save(home);
    assertEquals("R. Calder", Settings.load(home).author());
    assertEquals("dark", Settings.load(home).theme());
    Files.writeString(folder.resolve("settings.json"), "{ torn");
    assertEquals(Settings.FIRST, Settings.load(home));
  }
}
