package meterside;

/** The entry point: a plain class, so that the program also runs from the class path. */
public final class Meterside {

  private Meterside() {}

  /** Starts the command line, or the desk if no command is given. */
  public static void main(String[] args) {
    System.out.println("Meterside");
  }
}
