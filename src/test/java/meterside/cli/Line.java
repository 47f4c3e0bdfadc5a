package meterside.cli;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** Runs the command line within a test. */
final class Line {

  /** What a command came to. */
  record Ran(int exit, String out, String err) {
    JsonNode json() {
      try {
        return new ObjectMapper().readTree(out);
      } catch (java.io.IOException e) {
        throw new AssertionError("no JSON object: " + out + "\n" + err, e);
      }
    }
  }

  private final Path archive;

  Line(Path archive) {
    this.archive = archive;
  }

  Ran run(String... arguments) {
    List<String> all = new ArrayList<>(List.of("--archive", archive.toString()));
    all.addAll(List.of(arguments));
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int exit =
        Cli.run(all.toArray(String[]::new), new PrintStream(out, true), new PrintStream(err, true));
    return new Ran(
        exit, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  /** Runs a command that must end with this exit code and prints JSON. */
  JsonNode json(int exit, String... arguments) {
    String[] all = java.util.Arrays.copyOf(arguments, arguments.length + 1);
    all[arguments.length] = "--json";
    Ran ran = run(all);
    if (ran.exit() != exit) {
      throw new AssertionError(String.join(" ", all) + ": exit " + ran.exit() + "\n" + ran.err());
    }
    return ran.json();
  }

  /** Runs a command that must succeed and prints JSON. */
  JsonNode json(String... arguments) {
    String[] all = new String[arguments.length + 1];
    System.arraycopy(arguments, 0, all, 0, arguments.length);
    all[arguments.length] = "--json";
    Ran ran = run(all);
    if (ran.exit() != 0) {
      throw new AssertionError(String.join(" ", all) + ": exit " + ran.exit() + "\n" + ran.err());
    }
    return ran.json();
  }
}
