package meterside.work;

import java.util.List;
import java.util.stream.Collectors;
import meterside.job.DutyKey;
import meterside.job.Edit;
import meterside.job.History;
import meterside.job.Job;
import meterside.job.Mark;
import meterside.job.PhotoId;
import meterside.job.Sentences;
import meterside.job.StopKey;
import meterside.trade.Trade;

/** What a step is called: in the history, and on the undo and redo of the desk. */
public final class StepTitles {
  private StepTitles() {}

  /** The title of a step. */
  public static String of(History.Step step, Job job) {
    return ofEntries(step.edits(), job);
  }

  /**
   * The title of the edits of one step: what was done first, which is what the inspector did; the
   * sorting that followed is not named unless it is all there is.
   */
  public static String ofEntries(List<History.Entry> entries, Job job) {
    int photos = 0;
    for (History.Entry e : entries) {
      if (e.edit() instanceof Edit.AddPhotos a) {
        photos += a.photos().size();
      }
    }
    if (photos > 0) {
      return say("step.photos", photos);
    }
    List<Edit> withdrawn =
        entries.stream()
            .map(History.Entry::edit)
            .filter(e -> e instanceof Edit.WithdrawPhotos || e instanceof Edit.WithdrawAttachments)
            .toList();
    if (!withdrawn.isEmpty()) {
      // The sorting of what is left comes before it.
      return withdrawn.stream().map(e -> of(e, job)).collect(Collectors.joining("; "));
    }
    return of(entries.get(0).edit(), job);
  }

  private static String of(Edit edit, Job job) {
    if (edit instanceof Edit.StepBack) {
      return say("step.back");
    } else if (edit instanceof Edit.StepForward) {
      return say("step.forward");
    } else if (edit instanceof Edit.NotUnderstood e) {
      return say("step.not-understood", e.type());
    } else if (edit instanceof Edit.SetSite e) {
      return say("step.site", e.site());
    } else if (edit instanceof Edit.SetZone e) {
      return say("step.zone", e.zone().getId());
    } else if (edit instanceof Edit.SetFact e) {
      return say("step.fact", e.key());
    } else if (edit instanceof Edit.ChangeRoute e) {
      return say("step.route", e.route().title());
    } else if (edit instanceof Edit.AddInstance e) {
      return say("step.instance", job.title(e.at()));
    } else if (edit instanceof Edit.PutCamera e) {
      return say("step.camera", e.camera().id());
    } else if (edit instanceof Edit.AddPhotos e) {
      return say("step.photos", e.photos().size());
    } else if (edit instanceof Edit.SetClock e) {
      return say("step.clock", e.camera());
    } else if (edit instanceof Edit.PlaceByHand e) {
      return say("step.placed", photos(e.photos(), job), job.title(e.at()));
    } else if (edit instanceof Edit.ReleaseByHand e) {
      return say("step.released", photos(e.photos(), job));
    } else if (edit instanceof Edit.RecordSorting) {
      return say("step.sorted");
    } else if (edit instanceof Edit.AlsoServe e) {
      return say(
          e.on() ? "step.also" : "step.also-not", photos(e.photos(), job), title(e.at(), job));
    } else if (edit instanceof Edit.SetAside e) {
      return say(e.on() ? "step.aside" : "step.aside-back", photos(e.photos(), job));
    } else if (edit instanceof Edit.NoteToSelf e) {
      return say(e.on() ? "step.note" : "step.note-back", photos(e.photos(), job));
    } else if (edit instanceof Edit.PutCallout e) {
      return say("step.callout", term(e.callout().part()), photo(e.callout().photo(), job));
    } else if (edit instanceof Edit.PutOutline e) {
      return say("step.outline", photo(e.outline().photo(), job));
    } else if (edit instanceof Edit.PutRedaction e) {
      return say("step.redaction", photo(e.redaction().photo(), job));
    } else if (edit instanceof Edit.PutMeasure e) {
      return say("step.measure", photo(e.measure().photo(), job));
    } else if (edit instanceof Edit.PutSpot e) {
      return say("step.spot", photo(e.spot().close(), job), photo(e.spot().photo(), job));
    } else if (edit instanceof Edit.SetReportView e) {
      return say(e.view() == null ? "step.view-as-taken" : "step.view", photo(e.photo(), job));
    } else if (edit instanceof Edit.RemoveMark e) {
      Mark m = job.marks().get(e.id());
      return m == null ? say("step.unmark") : say("step.unmark-on", photo(m.photo(), job));
    } else if (edit instanceof Edit.PutFinding e) {
      return say("step.finding", e.finding().label());
    } else if (edit instanceof Edit.WithdrawFinding e) {
      return say("step.withdraw", "F" + e.number());
    } else if (edit instanceof Edit.GiveAnswer e) {
      return say("step.answer", duty(e.duty(), job), title(e.duty().at(), job));
    } else if (edit instanceof Edit.ReopenDuty e) {
      return say("step.reopen", duty(e.duty(), job), title(e.duty().at(), job));
    } else if (edit instanceof Edit.PutDeviceTest e) {
      return say("step.test", e.test().location() == null ? "" : e.test().location());
    } else if (edit instanceof Edit.RemoveDeviceTest) {
      return say("step.test-removed");
    } else if (edit instanceof Edit.CountRoom e) {
      return say("step.count", e.count().room());
    } else if (edit instanceof Edit.NoteCodes) {
      return say("step.codes");
    } else if (edit instanceof Edit.NoteSource) {
      return say("step.source");
    } else if (edit instanceof Edit.AddAttachments e) {
      return say("step.attachments", e.attachments().size());
    } else if (edit instanceof Edit.WithdrawAttachments e) {
      return e.movedTo() == null
          ? say("step.videos-withdrawn", e.attachments().size(), e.reason())
          : say("step.videos-moved", e.attachments().size(), e.movedTo(), e.reason());
    } else if (edit instanceof Edit.WithdrawPhotos e) {
      return e.movedTo() == null
          ? say("step.withdrawn", e.photos().size(), e.reason())
          : say("step.moved", e.photos().size(), e.movedTo(), e.reason());
    } else if (edit instanceof Edit.KeepUntil e) {
      return e.until() == null ? say("step.keep-none") : say("step.keep", e.until());
    } else if (edit instanceof Edit.SetHold e) {
      return say(e.on() ? "step.hold" : "step.hold-off", e.reason());
    } else if (edit instanceof Edit.IssueReport e) {
      return say("step.report", e.report().number());
    } else if (edit instanceof Edit.StartPacking e) {
      return say("step.packing", e.bag());
    } else if (edit instanceof Edit.FinishPacking) {
      return say("step.packed");
    } else if (edit instanceof Edit.WithdrawPacking) {
      return say("step.packing-withdrawn");
    } else if (edit instanceof Edit.Reopen e) {
      return say("step.reopened", e.reason());
    } else if (edit instanceof Edit.RecordExtract e) {
      String what = say("extract." + Names.id(e.extract().kind()));
      String to = e.extract().to() == null ? say("extract.nobody") : e.extract().to();
      return e.extract().leave() == null
          ? say("step.extract", what, to)
          : say("step.extract-leave", what, to, e.extract().leave());
    }
    throw new IllegalStateException("no title for " + edit.getClass());
  }

  private static String title(StopKey at, Job job) {
    return job.title(at);
  }

  private static String term(String part) {
    return Trade.standard().term(part);
  }

  private static String photo(PhotoId id, Job job) {
    return job.photos().containsKey(id) ? job.photo(id).name() : id.brief();
  }

  private static String photos(List<PhotoId> ids, Job job) {
    return ids.size() == 1 ? photo(ids.get(0), job) : say("photos", ids.size());
  }

  private static String say(String key, Object... arguments) {
    return Sentences.in(StepTitles.class).say(key, arguments);
  }

  /** What a duty asks, up to its first colon or full stop; its id where the job has it no more. */
  private static String duty(DutyKey key, Job job) {
    if (!job.dutyKeys().contains(key)) {
      return key.duty();
    }
    String text = job.duty(key).text();
    int end = 0;
    while (end < text.length() && ":.".indexOf(text.charAt(end)) < 0) {
      end++;
    }
    return text.substring(0, end);
  }
}
