package meterside.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.function.Predicate;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Camera;
import meterside.job.DeviceTest;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.DutyKind;
import meterside.job.Finding;
import meterside.job.FindingKind;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Position;
import meterside.job.RoomCount;
import meterside.job.StopKey;
import meterside.job.TestOutcome;
import meterside.job.Urgent;
import meterside.trade.Trade;

/**
 * What a report says, as values: the one model from which HTML, PDF and tables are made. Nothing
 * private is in it unless the location is to be kept: no camera serial number, source folder or
 * journal entry.
 *
 * @param job the job
 * @param options how the report is made
 * @param facts job facts in reading order
 * @param findings findings, urgent ones first, then by kind, then by number
 * @param walk stops where something was recorded, in walking order
 * @param quiet titles of the route's stops where nothing was recorded
 * @param open open duties, own habits never among them
 * @param notInspected points not inspected, each with the reason
 * @param excluded what was present and excluded, and what the job facts exclude
 * @param limits further limitations from the job facts
 * @param covers what is said about panel covers
 * @param changes what changed since the report before; empty if there was none or nothing did
 * @param figures all photos, in the order of the walk
 * @param to who gets it, for an extract; else null
 */
record Content(
    Job job,
    ReportOptions options,
    List<Fact> facts,
    List<Found> findings,
    List<StopPart> walk,
    List<String> quiet,
    List<Line> open,
    List<Line> notInspected,
    List<Line> excluded,
    List<String> limits,
    List<String> covers,
    List<String> changes,
    List<Figure> figures,
    String to) {

  /** A name and a value. */
  record Fact(String name, String value) {}

  /**
   * A place and what is said about it.
   *
   * @param at title of the stop, or empty
   * @param text what is said
   * @param reason why it was not looked at, or null
   * @param figures photos that show it
   */
  record Line(String at, String text, String reason, List<Figure> figures) {
    Line(String at, String text) {
      this(at, text, null, List.of());
    }

    /** Text and reason in one. */
    String whole() {
      return reason == null ? text : Words.say("limits.because", text, reason);
    }
  }

  /**
   * A finding with what the page needs.
   *
   * @param finding the finding
   * @param part the part's term, or null
   * @param stop title of its stop
   * @param figures photos that show it; the main one is first
   */
  record Found(Finding finding, String part, String stop, List<Figure> figures) {

    /** Part, or else stop, and location: what the list at the front says. */
    String brief() {
      return (part == null ? stop : part) + place(finding.location());
    }

    /** Part and place as one line: "Drip loop · Attachment, splice and drip loop · rear wall". */
    String where() {
      List<String> bits = new ArrayList<>();
      if (part != null && !part.equalsIgnoreCase(stop)) {
        bits.add(part);
      }
      bits.add(stop);
      if (finding.location() != null && !finding.location().isBlank()) {
        bits.add(finding.location().strip());
      }
      return String.join(" · ", bits);
    }

    /** Who was told of an urgent finding, how and when, or that nobody is recorded; else null. */
    String told() {
      Urgent urgent = finding.urgent();
      if (urgent == null) {
        return null;
      }
      List<String> bits = new ArrayList<>();
      for (String bit : new String[] {urgent.told(), urgent.how(), urgent.when()}) {
        if (bit != null && !bit.isBlank()) {
          bits.add(bit.strip());
        }
      }
      return bits.isEmpty() ? Words.say("finding.not-told") : String.join(", ", bits);
    }
  }

  /**
   * One answered duty.
   *
   * @param duty the duty
   * @param answer its answer
   * @param text the answer in words
   * @param figures photos that show it
   */
  record Answered(Duty duty, Answer answer, String text, List<Figure> figures) {}

  /**
   * One device test.
   *
   * @param test the test
   * @param device the part's term
   * @param result what it showed, or why there was none
   * @param figures photos that show it
   */
  record Tested(DeviceTest test, String device, String result, List<Figure> figures) {

    /** Whether it showed anything but what was expected. */
    boolean odd() {
      return test.outcomes().stream().anyMatch(o -> o != TestOutcome.AS_EXPECTED);
    }
  }

  /**
   * A stop, or a named instance of one, with what was recorded there.
   *
   * @param at the stop; null for photos that were not put at one
   * @param title its title
   * @param times first and last photo of the stop, or null
   * @param findings its findings
   * @param figures its photos
   * @param also photos of other stops that serve this one too, or show a finding of it
   * @param answered its answered duties
   * @param tests its device tests
   */
  record StopPart(
      StopKey at,
      String title,
      String times,
      List<Found> findings,
      List<Figure> figures,
      List<Figure> also,
      List<Answered> answered,
      List<Tested> tests) {}

  /** The order in which kinds of finding are told. */
  static final List<FindingKind> KINDS =
      List.of(
          FindingKind.NEEDS_CORRECTION,
          FindingKind.FURTHER_EVALUATION,
          FindingKind.SAFETY_IMPROVEMENT,
          FindingKind.NOTE);

  /** Job facts that have a name of their own, in reading order. */
  private static final List<String> FACTS =
      List.of(
          "client",
          "inspector",
          "license",
          "start",
          "end",
          "weather",
          "occupancy",
          "power",
          "year-built");

  /** Facts that who makes the report brings along, where the job does not say them. */
  private static final Map<String, Function<ReportOptions, String>> OWN =
      Map.of("inspector", ReportOptions::author, "license", ReportOptions::license);

  /** Other keys for the same facts. */
  private static final Map<String, String> ALIASES =
      Map.of("occupied", "occupancy", "vacant", "occupancy", "licence", "license");

  /** The duty that asks whether a panel's cover was taken off. */
  private static final String COVER_DUTY = "cover";

  /** The stop that its duty belongs to. */
  private static final String PANELS = "panelboard";

  /** The content of a job's report. */
  static Content of(Job job, Trade trade, ReportOptions options) {
    List<Figure> figures = Selection.figures(job, trade);
    Map<PhotoId, Figure> byPhoto = new LinkedHashMap<>();
    figures.forEach(f -> byPhoto.put(f.photo().id(), f));

    List<Found> findings = findings(job, trade, byPhoto);
    List<StopPart> walk = new ArrayList<>();
    List<String> quiet = new ArrayList<>();
    walk(job, trade, figures, byPhoto, findings, walk, quiet);

    List<Line> open = new ArrayList<>();
    List<Line> notInspected = new ArrayList<>();
    List<Line> excluded = new ArrayList<>();
    for (DutyKey key : job.openDuties()) {
      open.add(new Line(job.title(key.at()), job.duty(key).text() + counted(job, key)));
    }
    for (DutyKey key : job.dutyKeys()) {
      Duty duty = job.duty(key);
      Answer answer = job.answer(key).orElse(null);
      if (answer == null || duty.kind() == DutyKind.OWN_HABIT) {
        continue;
      }
      if (answer.kind() == AnswerKind.NOT_INSPECTED) {
        notInspected.add(
            new Line(
                job.title(key.at()),
                duty.text(),
                answer.text().strip(),
                pick(answer.photos(), byPhoto)));
      } else if (answer.kind() == AnswerKind.EXCLUDED) {
        excluded.add(
            new Line(
                job.title(key.at()),
                duty.text() + more(answer),
                null,
                pick(answer.photos(), byPhoto)));
      }
    }
    for (DeviceTest test : job.tests().values()) {
      if (test.notTested() != null && !test.notTested().isBlank()) {
        String what = Words.capital(trade.term(test.part())) + place(test.location());
        notInspected.add(
            new Line(
                job.title(test.at()),
                Words.say("limits.test", what),
                test.notTested().strip(),
                pick(test.photos(), byPhoto)));
      }
    }

    List<Fact> facts = new ArrayList<>();
    List<String> covers = new ArrayList<>();
    List<String> limits = new ArrayList<>();
    facts(job, options, facts, limits, excluded);
    covers(job, covers);

    return new Content(
        job,
        options,
        facts,
        findings,
        walk,
        quiet,
        open,
        notInspected,
        excluded,
        limits,
        covers,
        options.earlier() == null
            ? List.of()
            : Changes.between(options.earlier().job(), job, trade),
        figures,
        null);
  }

  /**
   * The same for somebody, with fewer findings and of the figures only those that show them.
   *
   * @param receiver who gets it, or null
   */
  Content extract(String receiver, Predicate<Found> which) {
    List<Found> some = findings.stream().filter(which).toList();
    Set<Figure> shown = new HashSet<>();
    some.forEach(f -> shown.addAll(f.figures()));
    return new Content(
        job,
        options,
        facts,
        some,
        walk,
        quiet,
        open,
        notInspected,
        excluded,
        limits,
        covers,
        changes,
        figures.stream().filter(shown::contains).toList(),
        receiver);
  }

  /** Urgent findings first, then by kind, then by number. */
  List<Found> urgent() {
    return findings.stream().filter(f -> f.finding().urgent() != null).toList();
  }

  /** Findings of a kind that are not urgent. */
  List<Found> ofKind(FindingKind kind) {
    return findings.stream()
        .filter(f -> f.finding().urgent() == null && f.finding().kind() == kind)
        .toList();
  }

  /** What the camera of a photo is called: its letter, make and model, never a serial number. */
  String camera(Photo photo) {
    Camera camera = job.cameras().get(photo.camera());
    return Words.say("evidence.camera-value", photo.camera(), camera == null ? "" : camera.label());
  }

  /** A position in words, degrees to five decimals (about a metre): "39.12345 N, 77.03650 W". */
  static String position(Position p) {
    return p == null
        ? Words.say("evidence.location-unknown")
        : String.format(
            Locale.ROOT,
            "%.5f %s, %.5f %s",
            Math.abs(p.latitude()),
            p.latitude() < 0 ? "S" : "N",
            Math.abs(p.longitude()),
            p.longitude() < 0 ? "W" : "E");
  }

  private static List<Found> findings(Job job, Trade trade, Map<PhotoId, Figure> byPhoto) {
    List<Found> out = new ArrayList<>();
    for (Finding f : job.findings().values()) {
      Set<PhotoId> tied = new LinkedHashSet<>();
      for (Mark mark : job.marks().values()) {
        if (Objects.equals(findingOf(mark), f.number())) {
          tied.add(mark.photo());
        }
      }
      Set<Figure> shown = new LinkedHashSet<>();
      // The main photo is the first named one that has a mark of this finding.
      f.photos().stream()
          .filter(tied::contains)
          .map(byPhoto::get)
          .filter(Objects::nonNull)
          .findFirst()
          .ifPresent(shown::add);
      for (PhotoId id : f.photos()) {
        Optional.ofNullable(byPhoto.get(id)).ifPresent(shown::add);
      }
      for (PhotoId id : tied) {
        Optional.ofNullable(byPhoto.get(id)).ifPresent(shown::add);
      }
      out.add(
          new Found(
              f,
              f.part() == null ? null : Words.capital(trade.term(f.part())),
              job.title(f.at()),
              List.copyOf(shown)));
    }
    out.sort(
        Comparator.<Found>comparingInt(f -> f.finding().urgent() == null ? 1 : 0)
            .thenComparingInt(f -> KINDS.indexOf(f.finding().kind()))
            .thenComparingInt(f -> f.finding().number()));
    return out;
  }

  /** The finding a mark is tied to, or null. */
  static Integer findingOf(Mark mark) {
    return mark.finding();
  }

  private static void walk(
      Job job,
      Trade trade,
      List<Figure> figures,
      Map<PhotoId, Figure> byPhoto,
      List<Found> findings,
      List<StopPart> walk,
      List<String> quiet) {
    Set<StopKey> told = new LinkedHashSet<>();
    figures.forEach(f -> told.add(f.at()));
    findings.forEach(f -> told.add(f.finding().at()));
    job.tests().values().forEach(t -> told.add(t.at()));
    List<StopKey> stops = Selection.inWalkingOrder(job, told);
    Map<StopKey, List<Photo>> byStop = job.photosByStop();
    for (StopKey at : stops) {
      List<Found> found = findings.stream().filter(f -> f.finding().at().equals(at)).toList();
      List<Figure> own = figures.stream().filter(f -> Objects.equals(f.at(), at)).toList();
      // Photos of other stops that serve this one too, or show a finding of it.
      Set<Figure> of = new HashSet<>();
      found.forEach(f -> of.addAll(f.figures()));
      List<Figure> also =
          at == null
              ? List.of()
              : figures.stream()
                  .filter(f -> !at.equals(f.at()))
                  .filter(f -> of.contains(f) || job.alsoServes(f.photo().id()).contains(at))
                  .toList();
      List<Answered> answered = answered(job, at, byPhoto);
      List<Tested> tests = tests(job, trade, at, byPhoto);
      boolean nothing =
          found.isEmpty()
              && own.isEmpty()
              && also.isEmpty()
              && answered.isEmpty()
              && tests.isEmpty();
      String title = at == null ? Words.say("walk.unsorted") : job.title(at);
      if (!nothing) {
        walk.add(
            new StopPart(
                at,
                title,
                times(job, own.stream().map(Figure::photo).toList()),
                found,
                own,
                also,
                answered,
                tests));
      } else if (at != null
          && !at.isOtherSystems()
          && job.dutyKeys().stream().anyMatch(k -> k.at().equals(at))) {
        quiet.add(title);
      }
    }
  }

  private static String times(Job job, List<Photo> photos) {
    List<Photo> timed =
        photos.stream()
            .filter(p -> Selection.delivered(job, p.id()))
            .filter(
                p -> {
                  var basis = job.trueTime(p).basis();
                  return basis != meterside.job.TimeBasis.NONE
                      && basis != meterside.job.TimeBasis.FILE;
                })
            .toList();
    if (timed.isEmpty()) {
      return null;
    }
    String first = Words.minute(job.trueTime(timed.get(0)).at(), job.zone());
    String last = Words.minute(job.trueTime(timed.get(timed.size() - 1)).at(), job.zone());
    return first.equals(last) ? first : Words.say("walk.times", first, last);
  }

  private static List<Answered> answered(Job job, StopKey at, Map<PhotoId, Figure> byPhoto) {
    List<Answered> out = new ArrayList<>();
    for (DutyKey key : job.dutyKeys()) {
      Answer answer = job.answer(key).orElse(null);
      Duty duty = job.duty(key);
      if (answer == null || !key.at().equals(at)) {
        continue;
      }
      // The inspector's own habits are nobody else's business unless they were kept.
      if (duty.kind() != DutyKind.OWN_HABIT || !unmet(answer)) {
        String sample = RoomCount.summary(job.counts(key), duty.id());
        String text = inWords(answer) + (sample.isEmpty() ? "" : " (" + sample + ")");
        out.add(new Answered(duty, answer, text, pick(answer.photos(), byPhoto)));
      }
    }
    return out;
  }

  /**
   * How many were looked at for a sampled duty, in how many rooms; empty if nothing was counted.
   */
  private static String counted(Job job, DutyKey key) {
    String summary = RoomCount.summary(job.counts(key), key.duty());
    return summary.isEmpty() ? "" : " " + Words.say("answer.counted", summary);
  }

  /** Whether an answer says that the duty was not done. */
  static boolean unmet(Answer answer) {
    return answer.kind() == AnswerKind.NOT_INSPECTED || answer.kind() == AnswerKind.EXCLUDED;
  }

  /** The reason why none of some points was inspected, if it is one and the same; else null. */
  static String oneReason(List<Answered> all) {
    Set<String> reasons = new HashSet<>();
    for (Answered a : all) {
      reasons.add(a.answer().kind() == AnswerKind.NOT_INSPECTED ? a.answer().text().strip() : null);
    }
    return reasons.size() == 1 ? reasons.iterator().next() : null;
  }

  /** An answer in words. */
  static String inWords(Answer answer) {
    return switch (answer.kind()) {
      case NO_CONDITION, NOT_PRESENT, EXCLUDED ->
          Words.say("answer." + answer.kind()) + more(answer);
      case FINDING -> Words.say("answer.FINDING", "F" + answer.finding()) + more(answer);
      case NOT_INSPECTED -> Words.say("answer.NOT_INSPECTED", answer.text().strip());
      case DESCRIPTION ->
          answer.howKnown() == null || answer.howKnown().isBlank()
              ? answer.text().strip()
              : Words.say("answer.how-known", answer.text().strip(), answer.howKnown().strip());
    };
  }

  private static String more(Answer answer) {
    boolean none = answer.text() == null || answer.text().isBlank();
    return none ? "" : " " + answer.text().strip();
  }

  private static List<Tested> tests(
      Job job, Trade trade, StopKey at, Map<PhotoId, Figure> byPhoto) {
    List<Tested> out = new ArrayList<>();
    for (DeviceTest test : job.tests().values()) {
      if (test.at().equals(at)) {
        out.add(
            new Tested(
                test,
                Words.capital(trade.term(test.part())),
                result(test),
                pick(test.photos(), byPhoto)));
      }
    }
    return out;
  }

  private static String result(DeviceTest test) {
    if (test.outcomes().isEmpty()) {
      String reason = test.notTested().strip();
      // "Presence noted, not tested" says it already.
      return reason.toLowerCase(Locale.ROOT).contains("not tested")
          ? Words.capital(reason)
          : Words.say("test.not-tested", reason);
    }
    List<String> bits = new ArrayList<>();
    for (TestOutcome outcome : test.outcomes()) {
      bits.add(Words.say("test." + outcome));
    }
    String text = String.join(", ", bits);
    text = text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
    return test.means() == null || test.means().isBlank()
        ? text
        : Words.say("test.means", text, test.means().strip());
  }

  private static List<Figure> pick(List<PhotoId> photos, Map<PhotoId, Figure> byPhoto) {
    return photos.stream().map(byPhoto::get).filter(Objects::nonNull).toList();
  }

  private static String place(String location) {
    return location == null || location.isBlank() ? "" : " (" + location.strip() + ")";
  }

  /**
   * Sorts the job facts. Keys are read whatever the case, with blanks and underscores as hyphens. A
   * key with the word {@code cover} speaks of a panel cover, and what stands behind a colon or
   * {@code #} names the panel ("panel-cover#garage subpanel"); {@code exclusion…} and {@code
   * limit…} go to the limitations.
   */
  private static void facts(
      Job job, ReportOptions options, List<Fact> facts, List<String> limits, List<Line> excluded) {
    Map<String, String> left = new LinkedHashMap<>();
    job.facts()
        .forEach(
            (key, value) -> {
              if (value != null && !value.isBlank()) {
                left.put(key, value.strip());
              }
            });
    Set<String> told = new HashSet<>();
    for (String known : FACTS) {
      for (String key : job.facts().keySet()) {
        if (ALIASES.getOrDefault(normal(key), normal(key)).equals(known) && left.containsKey(key)) {
          facts.add(new Fact(Words.say("fact." + known), left.remove(key)));
          told.add(known);
        }
      }
      String own = OWN.getOrDefault(known, o -> null).apply(options);
      if (own != null && !own.isBlank() && told.add(known)) {
        facts.add(new Fact(Words.say("fact." + known), own.strip()));
      }
    }
    for (Map.Entry<String, String> e : left.entrySet()) {
      String key = normal(e.getKey());
      if (isCover(e.getKey())) {
        continue; // told with the panels
      } else if (key.startsWith("exclusion")) {
        excluded.add(new Line("", e.getValue()));
      } else if (key.startsWith("limit")) {
        limits.add(e.getValue());
      } else {
        facts.add(new Fact(Words.humanize(e.getKey()), e.getValue()));
      }
    }
    facts.add(new Fact(Words.say("fact.route"), job.route().title()));
    facts.add(
        new Fact(
            Words.say("fact.duties"),
            Words.say("fact.duties-value", job.profile().title(), job.profile().dated())));
  }

  /** The name of a job fact as the report says it. */
  static String factName(String key) {
    String known = ALIASES.getOrDefault(normal(key), normal(key));
    return FACTS.contains(known) ? Words.say("fact." + known) : Words.humanize(key);
  }

  /**
   * Whether each panel's cover was taken off: as the job facts say it, else as the duty was
   * answered, else that the record does not say.
   */
  private static void covers(Job job, List<String> covers) {
    Map<String, String> said = new LinkedHashMap<>();
    job.facts()
        .forEach(
            (key, value) -> {
              if (isCover(key)) {
                said.put(panel(key), cover(panel(key), value == null ? "" : value.strip()));
              }
            });
    for (DutyKey key : job.dutyKeys()) {
      Answer answer = job.answer(key).orElse(null);
      String panel = key.at().instance();
      if (key.duty().equals(COVER_DUTY)
          && answer != null
          && answer.kind() != AnswerKind.FINDING
          && !said.containsKey(panel)) {
        String text = answer.kind() == AnswerKind.DESCRIPTION ? answer.text() : inWords(answer);
        said.put(panel, cover(panel, text.strip()));
      }
    }
    boolean any = !said.isEmpty();
    for (StopKey at : job.stopKeys()) {
      // The stop itself is a panel of its own only where nothing is said of any other.
      boolean counts = at.instance().isEmpty() ? !any : !said.containsKey(at.instance());
      if (at.stop().equals(PANELS) && counts) {
        said.put(
            at.instance(),
            at.instance().isEmpty()
                ? Words.say("scope.cover.unsaid")
                : Words.say("scope.cover.unsaid.at", at.instance()));
      }
    }
    covers.addAll(said.values());
  }

  private static boolean isCover(String key) {
    return normal(key).matches("(.*-)?cover(\\b.*)?");
  }

  private static String panel(String key) {
    int cut = Math.max(key.indexOf('#'), key.indexOf(':'));
    return cut < 0 ? "" : key.substring(cut + 1).strip();
  }

  private static String normal(String key) {
    return key.strip().toLowerCase(Locale.ROOT).replaceAll("[\\s_]+", "-");
  }

  private static String cover(String panel, String value) {
    String said =
        switch (normal(value)) {
          case "yes", "true", "removed", "taken-off", "off" -> "scope.cover.yes";
          case "no", "false", "not-removed", "not-taken-off", "on" -> "scope.cover.no";
          default -> "scope.cover.text";
        };
    // "cover not removed, because …" as an answer stands behind "Panel cover:".
    String text = value.replaceFirst("(?i)^(the )?(panel )?cover (was )?", "");
    return panel.isEmpty() ? Words.say(said, text) : Words.say(said + ".at", text, panel);
  }
}
