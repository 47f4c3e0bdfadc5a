package meterside.search;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import meterside.job.Answer;
import meterside.job.AnswerKind;
import meterside.job.DeviceTest;
import meterside.job.Duty;
import meterside.job.DutyKey;
import meterside.job.Job;
import meterside.job.PhotoId;
import meterside.job.Sentences;
import meterside.trade.Trade;

/**
 * What a job says beside its findings: descriptions, limitations, what was not present or excluded,
 * device tests. That nothing reportable was observed says nothing to search for.
 */
final class Answers {
  /**
   * One of them.
   *
   * @param words what the inspector said, to find it by
   * @param about the duty it answers; helps to meet a question, never meets one alone
   * @param shown as the user reads it
   */
  record Line(String words, String about, String shown) {}

  private final List<Line> all = new ArrayList<>();
  private final Map<PhotoId, List<Line>> byPhoto = new HashMap<>();

  Answers(Job job, Trade trade) {
    Sentences say = Sentences.in(Answers.class);
    for (DutyKey key : job.dutyKeys()) {
      job.answer(key).ifPresent(a -> answer(job, key, a, say));
    }
    for (DeviceTest t : job.tests().values()) {
      test(job, t, trade, say);
    }
  }

  private void answer(Job job, DutyKey key, Answer a, Sentences say) {
    if (a.kind() == AnswerKind.NO_CONDITION || a.kind() == AnswerKind.FINDING) {
      return;
    }
    Duty duty = job.duty(key);
    String text = a.text() == null ? "" : a.text().strip();
    String known = a.howKnown() == null ? "" : a.howKnown().strip();
    String what =
        switch (a.kind()) {
          case NOT_INSPECTED -> say.say("answer.not-inspected", text);
          case NOT_PRESENT -> say.say("answer.not-present");
          case EXCLUDED -> say.say("answer.excluded");
          default -> known.isEmpty() ? text : say.say("answer.known", text, known);
        };
    String shown = say.say("answer", job.title(key.at()), what);
    String words = a.kind() == AnswerKind.DESCRIPTION ? text + ". " + known : what;
    add(new Line(words, job.title(key.at()) + ". " + duty.text(), shown), a.photos());
  }

  private void test(Job job, DeviceTest t, Trade trade, Sentences say) {
    String part = t.part() == null ? "" : trade.term(t.part());
    String outcomes =
        t.outcomes().stream()
            .map(o -> say.say("test." + o.name().toLowerCase(Locale.ROOT).replace('_', '-')))
            .collect(Collectors.joining(", "));
    String what = t.notTested() == null ? outcomes : say.say("test.not-tested", t.notTested());
    if (t.means() != null && !t.means().isBlank()) {
      what += " (" + t.means().strip() + ")";
    }
    String place = t.location() == null ? "" : t.location().strip();
    String shown = say.say("test", place, part, what);
    add(new Line(place + ". " + part + ". " + what, job.title(t.at()), shown), t.photos());
  }

  private void add(Line line, List<PhotoId> photos) {
    all.add(line);
    photos.forEach(p -> byPhoto.computeIfAbsent(p, k -> new ArrayList<>()).add(line));
  }

  /** All of them, answers first. */
  List<Line> all() {
    return all;
  }

  /** Those that name a photo. */
  List<Line> on(PhotoId photo) {
    return byPhoto.getOrDefault(photo, List.of());
  }
}
