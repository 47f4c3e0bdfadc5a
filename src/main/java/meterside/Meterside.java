package meterside;

import meterside.cli.Cli;

/** The entry point: a plain class, so that the program also runs from the class path. */
public final class Meterside {

  private Meterside() {}

  /** Runs a command of the command line. */
  public static void main(String[] args) {
    System.exit(Cli.run(args, System.out, System.err));
  }
}
