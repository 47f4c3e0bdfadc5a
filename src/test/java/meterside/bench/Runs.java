package meterside.bench;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;

/** Measures two ways of doing the same in turn, and says how they compare. */
final class Runs {
  private Runs() {}

  /** Work that is timed. */
  interface Work {
    void run() throws Exception;
  }

  /** Seconds that some work took. */
  static double seconds(Work work) throws Exception {
    long start = System.nanoTime();
    work.run();
    return (System.nanoTime() - start) / 1e9;
  }

  static double median(List<Double> values) {
    double[] sorted = values.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    int n = sorted.length;
    return n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  }

  /** Prints the medians of two ways and the ratio of the first to the second. */
  static void say(String what, List<Double> ours, List<Double> baseline) {
    System.out.printf(
        Locale.ROOT,
        "%s: %.2f s, baseline %.2f s, ratio %.2f (medians of %d; ours %s, baseline %s)%n",
        what,
        median(ours),
        median(baseline),
        median(ours) / median(baseline),
        ours.size(),
        list(ours),
        list(baseline));
  }

  private static String list(List<Double> values) {
    return String.join(
        " ", values.stream().map(v -> String.format(Locale.ROOT, "%.2f", v)).toList());
  }

  /** Runs the program, or another main class of this class path, in a process of its own. */
  static void java(String main, Path log, String... arguments) throws Exception {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(
        List.of(
            "-Xmx512m", "-Djava.awt.headless=true", "-cp", System.getProperty("java.class.path")));
    command.add(main);
    command.addAll(Arrays.asList(arguments));
    process(log, command);
  }

  /** Runs a shell script; its arguments are {@code $1}, {@code $2} … */
  static void shell(Path log, String script, String... arguments) throws Exception {
    List<String> command = new ArrayList<>(List.of("bash", "-ec", script, "bench"));
    command.addAll(Arrays.asList(arguments));
    process(log, command);
  }

  private static void process(Path log, List<String> command) throws Exception {
    ProcessBuilder builder = new ProcessBuilder(command).redirectErrorStream(true);
    builder.environment().put("METERSIDE_HOME", log.resolveSibling("home").toString());
    Process p = builder.redirectOutput(log.toFile()).start();
    int exit = p.waitFor();
    if (exit != 0) {
      throw new IOException(command.get(0) + " ended with " + exit + ": " + Files.readString(log));
    }
  }

  /** Whether a tool is on the path. */
  static boolean has(String tool) {
    return Arrays.stream(System.getenv("PATH").split(File.pathSeparator))
        .anyMatch(dir -> Files.isExecutable(Path.of(dir, tool)));
  }

  /** Deletes a folder with all in it and lets the disk come to rest. */
  static void clear(Path folder, Path log) throws Exception {
    if (Files.exists(folder)) {
      try (Stream<Path> all = Files.walk(folder)) {
        for (Path p : all.sorted(Comparator.reverseOrder()).toList()) {
          p.toFile().setWritable(true);
          Files.delete(p);
        }
      }
    }
    shell(log, "sync");
  }
}
