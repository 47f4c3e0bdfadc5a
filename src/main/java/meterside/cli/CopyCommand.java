package meterside.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.util.List;
import meterside.archive.SecondCopy;
import meterside.job.Progress;
import meterside.work.Copying;
import meterside.work.Workspace;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Brings the second copy up to date, and says whether a card may be wiped. */
@CommandLine.Command(
    name = "copy",
    description = {
      "Brings a second copy of the archive up to date, in a folder on another disk.",
      "Damage is not copied, and a copy that holds more is not overwritten."
    })
final class CopyCommand extends Command {
  private static final int BROKEN = 3;

  @Parameters(
      arity = "0..1",
      paramLabel = "DIR",
      description = "Where the copy lies; the one in the settings if none is named.")
  Path folder;

  @Option(names = "--full", description = "Reads through again what the copy holds already.")
  boolean full;

  @Option(
      names = "--card",
      arity = "1..*",
      paramLabel = "PATH",
      description = "A camera's card: says whether it may be wiped.")
  List<Path> card;

  @Override
  Outcome run() {
    try (Workspace w = workspace(false)) {
      Path target = folder == null ? null : folder.toAbsolutePath().normalize();
      SecondCopy.Result r = Copying.update(w, target, full, Progress.NONE);
      Outcome o = new Outcome();
      String place = String.valueOf(target == null ? Copying.place(w).orElseThrow() : target);
      o.json.put("folder", place);
      o.json.put("jobs", r.jobs());
      o.json.put("files", r.files());
      o.json.put("bytes", r.bytes());
      o.json.put("whole", r.whole());
      ArrayNode problems = o.json.putArray("problems");
      r.problems().forEach(problems::add);
      ArrayNode notes = o.json.putArray("notes");
      r.notes().forEach(notes::add);
      o.line(say(r.whole() ? "copy.done" : "copy.not-whole", place, r.jobs(), r.files()));
      r.problems().forEach(s -> o.line("  " + s));
      r.notes().forEach(s -> o.line("  " + s));
      if (!r.problems().isEmpty()) {
        o.exit(BROKEN);
      }
      if (card != null) {
        Copying.Card c = Copying.card(w, card, target, Progress.NONE);
        ObjectNode n = o.json.putObject("card");
        n.put("mayBeWiped", c.mayBeWiped());
        n.put("kept", c.kept());
        n.put("others", c.others());
        ArrayNode missing = n.putArray("missing");
        c.missing().forEach(missing::add);
        n.put("sentence", c.sentence());
        o.line(c.sentence());
      }
      return o;
    }
  }
}
