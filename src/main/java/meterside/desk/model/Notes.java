package meterside.desk.model;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.Callout;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.DutyKind;
import meterside.job.Finding;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.Measure;
import meterside.job.Outline;
import meterside.job.PhotoId;
import meterside.job.Redaction;
import meterside.job.RoomCount;
import meterside.job.Spot;
import meterside.job.StopKey;
import meterside.job.Urgent;
import meterside.markup.Lengths;
import meterside.trade.Trade;

/**
 * The right-hand column: what belongs to the photo shown and to its stop.
 *
 * @param at the stop, or null
 * @param stopTitle what the screen calls it, or empty
 * @param caution the stop's caution, or empty
 * @param named what is drawn on the photo, in the order of its numbers, then what has none
 * @param findings findings at the stop, and any other that this photo shows
 * @param duties the stop's duties
 */
public record Notes(
    StopKey at,
    String stopTitle,
    String caution,
    List<Named> named,
    List<Card> findings,
    List<DutyLine> duties) {

  /**
   * A mark on the photo.
   *
   * @param mark its number in the job
   * @param number its number on the photo, or 0 if it carries none
   * @param title the part's term, or what it is
   * @param finding "F4", or null
   * @param note its second line, or null
   * @param spoken what a screen reader says
   */
  public record Named(
      int mark, int number, String title, String finding, String note, String spoken) {}

  /**
   * A finding as a card.
   *
   * @param number its number
   * @param head number and kind
   * @param urgent the word and who was told, or null
   * @param title the first sentence of what was seen
   * @param body the rest of what was seen, and why it matters; may be empty
   * @param quiet location and who should act; may be empty
   * @param photos on how many photos it is shown
   * @param here whether it belongs to the stop shown
   */
  public record Card(
      int number,
      String head,
      String urgent,
      String title,
      String body,
      String quiet,
      int photos,
      boolean here) {}

  /**
   * A duty with its one answer, or open.
   *
   * @param key the duty
   * @param text what the screen says
   * @param open whether it has no answer
   * @param habit whether it is the inspector's own habit
   * @param describe whether it asks for a description
   * @param answer what was answered; says that it is open if it is
   * @param sampled whether it is counted by room
   * @param counted what was counted, in one line; may be empty
   */
  public record DutyLine(
      DutyKey key,
      String text,
      boolean open,
      boolean habit,
      boolean describe,
      String answer,
      boolean sampled,
      String counted) {}

  /** Nothing shown. */
  public static final Notes NONE = new Notes(null, "", "", List.of(), List.of(), List.of());

  /** Copies the lists. */
  public Notes {
    named = List.copyOf(named);
    findings = List.copyOf(findings);
    duties = List.copyOf(duties);
  }

  /**
   * The notes for a stop and a photo.
   *
   * @param at the stop shown, or null
   * @param photo the photo shown, or null
   */
  public static Notes of(Job job, Trade trade, StopKey at, PhotoId photo) {
    List<Named> named = photo == null ? List.of() : named(job, trade, photo);
    Map<PhotoId, TreeSet<Integer>> shown = Walk.findingsByPhoto(job);
    Set<Integer> onPhoto = shown.getOrDefault(photo, new TreeSet<>());
    List<Card> cards = new ArrayList<>();
    for (Finding f : job.findings().values()) {
      boolean here = f.at().equals(at);
      if (here || onPhoto.contains(f.number())) {
        long photos = shown.values().stream().filter(s -> s.contains(f.number())).count();
        cards.add(card(job, f, (int) photos, here));
      }
    }
    List<DutyLine> duties = new ArrayList<>();
    for (DutyKey key : job.dutyKeys()) {
      if (key.at().equals(at)) {
        duties.add(duty(job, key));
      }
    }
    String caution = at == null || at.isOtherSystems() ? "" : trade.caution(at.stop());
    String title = at == null ? "" : job.title(at);
    return new Notes(at, title, caution == null ? "" : caution, named, cards, duties);
  }

  private static List<Named> named(Job job, Trade trade, PhotoId photo) {
    List<Named> out = new ArrayList<>();
    List<Named> silent = new ArrayList<>();
    int number = 0;
    for (Mark m : job.marksOn(photo)) {
      if (m instanceof Callout c) {
        out.add(named(m.id(), ++number, Words.term(trade, c.part()), c.finding(), c.note()));
      } else if (m instanceof Outline o) {
        boolean says =
            o.part() != null || o.finding() != null || o.note() != null && !o.note().isBlank();
        String title = o.part() == null ? Words.say("mark.outline") : Words.term(trade, o.part());
        if (says) {
          out.add(named(m.id(), ++number, title, o.finding(), o.note()));
        } else {
          silent.add(named(m.id(), 0, title, null, null));
        }
      } else if (m instanceof Measure e) {
        String length = Lengths.brief(e, Lengths.inMetres(job));
        out.add(named(m.id(), ++number, length, e.finding(), e.note()));
      } else if (m instanceof Spot s) {
        String close = job.photo(s.close()).name();
        out.add(named(m.id(), ++number, Words.say("mark.spot", close), null, null));
      } else if (m instanceof Redaction) {
        silent.add(named(m.id(), 0, Words.say("mark.redaction"), null, null));
      }
    }
    out.addAll(silent);
    return out;
  }

  private static Named named(int mark, int number, String title, Integer finding, String note) {
    String label = finding == null ? null : "F" + finding;
    String said = note == null || note.isBlank() ? null : note;
    StringBuilder spoken = new StringBuilder();
    if (number > 0) {
      spoken.append(number).append(' ');
    }
    spoken.append(title);
    if (label != null) {
      spoken.append(", ").append(Words.say("named.tied", label));
    }
    if (said != null) {
      spoken.append(", ").append(said);
    }
    return new Named(mark, number, title, label, said, spoken.toString());
  }

  private static Card card(Job job, Finding f, int photos, boolean here) {
    String seen = f.seen().strip();
    int end = firstSentence(seen);
    String title = seen.substring(0, end).strip();
    List<String> body = new ArrayList<>();
    if (end < seen.length()) {
      body.add(seen.substring(end).strip());
    }
    if (f.why() != null && !f.why().isBlank()) {
      body.add(f.why().strip());
    }
    List<String> quiet = new ArrayList<>();
    if (f.location() != null && !f.location().isBlank()) {
      quiet.add(f.location().strip());
    }
    if (f.who() != null && !f.who().isBlank()) {
      quiet.add(f.who().strip());
    }
    if (f.seenLater()) {
      quiet.add(Words.say("finding.seen-later"));
    }
    if (!here) {
      quiet.add(Words.say("finding.elsewhere", job.title(f.at())));
    }
    return new Card(
        f.number(),
        f.label() + " · " + Words.kind(f.kind()),
        urgent(f.urgent()),
        title,
        String.join(" ", body),
        String.join("\n", quiet),
        photos,
        here);
  }

  private static String urgent(Urgent u) {
    if (u == null) {
      return null;
    }
    if (u.told() == null || u.told().isBlank()) {
      return Words.say("urgent.nobody");
    }
    List<String> more = new ArrayList<>();
    more.add(u.told().strip());
    if (u.how() != null && !u.how().isBlank()) {
      more.add(u.how().strip());
    }
    if (u.when() != null && !u.when().isBlank()) {
      more.add(u.when().strip());
    }
    return Words.say("urgent.told", String.join(", ", more));
  }

  /** Where the first sentence ends, its full stop included; the whole text if it has one only. */
  static int firstSentence(String text) {
    for (int i = 0; i + 1 < text.length(); i++) {
      if (".!?".indexOf(text.charAt(i)) >= 0 && Character.isWhitespace(text.charAt(i + 1))) {
        return i + 1;
      }
    }
    return text.length();
  }

  private static DutyLine duty(Job job, DutyKey key) {
    Duty d = job.duty(key);
    boolean habit = d.kind() == DutyKind.OWN_HABIT;
    String answer =
        job.answer(key)
            .map(a -> answer(job, a))
            .orElse(Words.say(habit ? "duty.habit-open" : "duty.open"));
    return new DutyLine(
        key,
        d.text(),
        job.answer(key).isEmpty(),
        habit,
        d.kind() == DutyKind.DESCRIBE,
        answer,
        d.sampled(),
        RoomCount.summary(job.counts(key), d.id()));
  }

  private static String answer(Job job, Answer a) {
    String text = a.text() == null ? "" : a.text().strip();
    return switch (a.kind()) {
      case NO_CONDITION -> Words.say("answer.no-condition");
      case FINDING -> {
        Finding f = job.findings().get(a.finding());
        String seen = f == null ? "" : f.seen().strip();
        yield Words.say(
            "answer.finding", "F" + a.finding(), seen.substring(0, firstSentence(seen)));
      }
      case DESCRIPTION ->
          a.howKnown() == null || a.howKnown().isBlank()
              ? text
              : Words.say("answer.described", text, a.howKnown().strip());
      case NOT_PRESENT -> Words.say("answer.not-present");
      case EXCLUDED -> Words.say("answer.excluded");
      case NOT_INSPECTED -> Words.say("answer.not-inspected", text);
    };
  }

  /** What the screen calls a way to answer. */
  public static String way(AnswerKind kind) {
    return switch (kind) {
      case NO_CONDITION -> Words.say("answer.no-condition");
      case FINDING -> Words.say("way.finding");
      case DESCRIPTION -> Words.say("way.describe");
      case NOT_PRESENT -> Words.say("answer.not-present");
      case EXCLUDED -> Words.say("answer.excluded");
      case NOT_INSPECTED -> Words.say("way.not-inspected");
    };
  }
}
