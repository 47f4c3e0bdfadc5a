package meterside.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import meterside.job.Answer;
import meterside.job.DutyKey;
import meterside.job.DutyKind;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.trade.Trade;

/**
 * What a report says that an earlier one did not, told so that a reader of both knows where to
 * look. Where a text changed, this says that it changed and not what it was: the earlier report
 * holds it.
 */
final class Changes {
  private final Job before;
  private final Job now;
  private final Trade trade;
  private final List<String> out = new ArrayList<>();

  private Changes(Job before, Job now, Trade trade) {
    this.before = before;
    this.now = now;
    this.trade = trade;
  }

  /** The changes between two states of one job, one sentence each; empty if there is none. */
  static List<String> between(Job before, Job now, Trade trade) {
    Changes c = new Changes(before, now, trade);
    c.findings();
    c.answers();
    c.tests();
    c.photos();
    c.facts();
    return List.copyOf(c.out);
  }

  private void say(String key, Object... arguments) {
    out.add(Words.say("changed." + key, arguments));
  }

  private void findings() {
    Set<Integer> numbers = new TreeSet<>(before.findings().keySet());
    numbers.addAll(now.findings().keySet());
    for (int n : numbers) {
      Finding was = before.findings().get(n);
      Finding is = now.findings().get(n);
      String label = "F" + n;
      if (was == null) {
        say("finding.new", label, where(is));
      } else if (is == null) {
        say("finding.withdrawn", label, where(was));
      } else {
        List<String> what = new ArrayList<>();
        differ(what, "kind", was.kind(), is.kind());
        differ(what, "urgent", was.urgent(), is.urgent());
        differ(
            what,
            "place",
            List.of(was.at(), text(was.location()), text(was.part())),
            List.of(is.at(), text(is.location()), text(is.part())));
        differ(what, "seen", text(was.seen()), text(is.seen()));
        differ(what, "why", text(was.why()), text(is.why()));
        differ(what, "who", text(was.who()), text(is.who()));
        differ(what, "photos", Set.copyOf(was.photos()), Set.copyOf(is.photos()));
        if (!what.isEmpty()) {
          say("finding.changed", label, where(is), String.join(", ", what));
        }
      }
    }
  }

  private static void differ(List<String> what, String key, Object was, Object is) {
    if (!Objects.equals(was, is)) {
      what.add(Words.say("changed.part." + key));
    }
  }

  private String where(Finding f) {
    String part = f.part() == null ? now.title(f.at()) : Words.capital(trade.term(f.part()));
    return text(f.location()).isEmpty() ? part : part + " (" + f.location().strip() + ")";
  }

  private static String text(String text) {
    return text == null ? "" : text.strip();
  }

  private void answers() {
    Set<DutyKey> keys = new LinkedHashSet<>(now.dutyKeys());
    for (DutyKey key : keys) {
      if (now.duty(key).kind() == DutyKind.OWN_HABIT) {
        continue;
      }
      Answer was = before.answer(key).orElse(null);
      Answer is = now.answer(key).orElse(null);
      if (!Objects.equals(was, is)) {
        String how = was == null ? "answer.new" : is == null ? "answer.open" : "answer.changed";
        say(how, now.title(key.at()), now.duty(key).text());
      }
    }
  }

  private void tests() {
    if (!before.tests().equals(now.tests())) {
      say("tests");
    }
  }

  private void photos() {
    Set<PhotoId> were = Selection.photos(before);
    Set<PhotoId> are = Selection.photos(now);
    names("photos.in", are.stream().filter(p -> !were.contains(p)).toList());
    names("photos.out", were.stream().filter(p -> !are.contains(p)).toList());
    List<PhotoId> marked = new ArrayList<>();
    List<PhotoId> moved = new ArrayList<>();
    for (Photo photo : now.inTrueOrder()) {
      PhotoId id = photo.id();
      if (were.contains(id) && are.contains(id)) {
        if (!Set.copyOf(marks(before, id)).equals(Set.copyOf(marks(now, id)))) {
          marked.add(id);
        }
        if (!Objects.equals(before.placement(id), now.placement(id))
            && !Objects.equals(
                before.placement(id).map(p -> p.at()), now.placement(id).map(p -> p.at()))) {
          moved.add(id);
        }
      }
    }
    names("photos.marks", marked);
    names("photos.moved", moved);
  }

  private static List<Mark> marks(Job job, PhotoId photo) {
    return job.marksOn(photo);
  }

  private void names(String key, List<PhotoId> photos) {
    if (!photos.isEmpty()) {
      Set<PhotoId> chosen = Set.copyOf(photos);
      say(
          key,
          now.inTrueOrder().stream()
              .filter(p -> chosen.contains(p.id()))
              .map(Photo::name)
              .collect(Collectors.joining(", ")));
    }
  }

  private void facts() {
    if (!before.site().equals(now.site())) {
      say("site", before.site(), now.site());
    }
    if (!before.zone().equals(now.zone())) {
      say("zone", now.zone().getId());
    }
    Map<String, String> all = new LinkedHashMap<>(before.facts());
    all.putAll(now.facts());
    List<String> names = new ArrayList<>();
    for (String key : all.keySet()) {
      if (!Objects.equals(before.facts().get(key), now.facts().get(key))) {
        names.add(Content.factName(key));
      }
    }
    if (!names.isEmpty()) {
      say("facts", String.join(", ", names));
    }
    List<String> clocks = new ArrayList<>();
    for (String camera : now.cameras().keySet()) {
      if (before.cameras().containsKey(camera) && !before.clock(camera).equals(now.clock(camera))) {
        clocks.add(camera);
      }
    }
    if (!clocks.isEmpty()) {
      say("clocks", String.join(", ", clocks));
    }
  }
}
