package meterside.desk.model;

import java.nio.file.Path;

/** Folders as the window writes and reads them: what lies below one's own folder begins with ~. */
public final class Folders {
  private Folders() {}

  /** How a folder is shown. */
  public static String shown(Path folder) {
    Path own = own();
    Path whole = folder.toAbsolutePath().normalize();
    if (own == null || !whole.startsWith(own) || whole.equals(own)) {
      return folder.toString();
    }
    return "~" + folder.getFileSystem().getSeparator() + own.relativize(whole);
  }

  /**
   * The folder that was typed.
   *
   * @throws java.nio.file.InvalidPathException if that is no path
   */
  public static Path read(String typed) {
    String text = typed.strip();
    Path own = own();
    boolean below = text.startsWith("~/") || text.startsWith("~\\");
    return own != null && below ? own.resolve(text.substring(2)) : Path.of(text);
  }

  private static Path own() {
    String home = System.getProperty("user.home");
    return home == null || home.isBlank() ? null : Path.of(home).toAbsolutePath().normalize();
  }
}
