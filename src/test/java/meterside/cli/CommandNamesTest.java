package meterside.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

class CommandNamesTest {
  @TempDir Path archive;

  @Test
  void eachCommandIsPutTogetherUnderItsOwnName() {
    for (String name : Cli.COMMANDS) {
      assertEquals(name, new CommandLine(Cli.command(name)).getCommandName());
    }
  }

  @Test
  void theHelpNamesAllCommandsAndEachHelpsItself() {
    Line line = new Line(archive);
    String help = line.run("--help").out();
    for (String name : Cli.COMMANDS) {
      assertTrue(help.lines().anyMatch(l -> l.strip().startsWith(name)), name);
      Line.Ran own = line.run(name, "--help");
      assertEquals(0, own.exit());
      assertTrue(own.out().contains("meterside " + name), own.out());
    }
  }

  @Test
  void whatIsNoCommandIsWrongUseWithTheLikeOfItNamed() {
    Line.Ran ran = new Line(archive).run("intakes", "job");
    assertEquals(2, ran.exit());
    assertTrue(ran.err().contains("intake"), ran.err());
  }
}
