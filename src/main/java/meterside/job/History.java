package meterside.job;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;

/**
 * The fold of a journal: its edits in steps, with steps back and forward resolved first.
 *
 * <p>Edits that share a step number are one step. A step back drops the last step from the fold but
 * not from the journal; a step forward takes it in again; any other edit after steps back forgets
 * what could have been stepped forward to. An edit that bars the way (issuing a report) is no step
 * of its own, and nothing up to it can be undone.
 *
 * <p>The state after every step is kept (states share what they have in common), so stepping is a
 * look-up. Not thread-safe; its {@link Job}s are.
 */
public final class History {

  /**
   * An edit with what the journal says about it.
   *
   * @param seq number of the journal line, from 2 (line 1 is the header)
   * @param at when it was written
   * @param author who did it
   * @param step number of the step it belongs to
   * @param edit the edit
   */
  public record Entry(long seq, Instant at, String author, long step, Edit edit) {}

  /**
   * A step as the fold sees it now.
   *
   * @param number its number
   * @param edits its edits, in order
   * @param after the job after it
   * @param barred whether it can no longer be undone
   */
  public record Step(long number, List<Entry> edits, Job after, boolean barred) {
    /** Copies the list. */
    public Step {
      edits = List.copyOf(edits);
    }
  }

  private final Job start;
  private final List<Entry> entries = new ArrayList<>();
  private final List<Step> steps = new ArrayList<>();
  private int cursor;
  private int barrier;
  private long lastStep;
  private int highestFinding;
  private int highestMark;
  private int highestTest;
  private int highestReport;

  /** A history with nothing in it yet. */
  public History(JobHeader header) {
    this(Job.start(header));
  }

  private History(Job start) {
    this.start = start;
  }

  /** A history that goes on from here; this one stays as it is. */
  public History copy() {
    History copy = new History(start);
    copy.entries.addAll(entries);
    copy.steps.addAll(steps);
    copy.cursor = cursor;
    copy.barrier = barrier;
    copy.lastStep = lastStep;
    copy.highestFinding = highestFinding;
    copy.highestMark = highestMark;
    copy.highestTest = highestTest;
    copy.highestReport = highestReport;
    return copy;
  }

  /**
   * Takes in the next edit.
   *
   * @throws EditRefused if the job can't take it, or if there is no step to go back or forward to;
   *     the history is then as before
   */
  public void accept(Entry entry) {
    Edit edit = entry.edit();
    if (edit instanceof Edit.StepBack) {
      if (!canStepBack()) {
        throw new EditRefused(cursor == 0 ? "undo.nothing" : "undo.barred");
      }
      cursor--;
    } else if (edit instanceof Edit.StepForward) {
      if (!canStepForward()) {
        throw new EditRefused("redo.nothing");
      }
      cursor++;
    } else {
      Job next = edit.applyTo(job());
      while (steps.size() > cursor) {
        steps.remove(steps.size() - 1);
      }
      Step last = cursor == 0 ? null : steps.get(cursor - 1);
      boolean same = last != null && last.number() == entry.step() && !last.barred();
      if (same && !edit.barsTheWay()) {
        List<Entry> longer = new ArrayList<>(last.edits());
        longer.add(entry);
        steps.set(cursor - 1, new Step(last.number(), longer, next, false));
      } else {
        steps.add(new Step(entry.step(), List.of(entry), next, edit.barsTheWay()));
        cursor++;
      }
      if (edit.barsTheWay()) {
        barrier = cursor;
      }
      noteNumbers(edit);
    }
    entries.add(entry);
    lastStep = Math.max(lastStep, entry.step());
  }

  /** The job as it is now. */
  public Job job() {
    return cursor == 0 ? start : steps.get(cursor - 1).after();
  }

  /** Every edit ever written, undone ones and steps back and forward too. */
  public List<Entry> entries() {
    return List.copyOf(entries);
  }

  /** The steps that are in force now. */
  public List<Step> steps() {
    return List.copyOf(steps.subList(0, cursor));
  }

  /** Whether there is a step that can be undone. */
  public boolean canStepBack() {
    return cursor > barrier;
  }

  /** Whether there is an undone step that can be taken in again. */
  public boolean canStepForward() {
    return cursor < steps.size();
  }

  /** The step that a step back would undo. */
  public java.util.Optional<Step> lastStepDone() {
    return canStepBack()
        ? java.util.Optional.of(steps.get(cursor - 1))
        : java.util.Optional.empty();
  }

  /** The step that a step forward would take in again. */
  public java.util.Optional<Step> nextStepUndone() {
    return canStepForward() ? java.util.Optional.of(steps.get(cursor)) : java.util.Optional.empty();
  }

  /** A step number that was never used. */
  public long nextStep() {
    return lastStep + 1;
  }

  /** A finding number that was never used, not even by an undone edit. */
  public int nextFinding() {
    return highestFinding + 1;
  }

  /** A mark number that was never used. */
  public int nextMark() {
    return highestMark + 1;
  }

  /** A device test number that was never used. */
  public int nextTest() {
    return highestTest + 1;
  }

  /** A report number that was never used. */
  public int nextReport() {
    return highestReport + 1;
  }

  private void noteNumbers(Edit edit) {
    if (edit instanceof Edit.PutFinding e) {
      highestFinding = Math.max(highestFinding, e.finding().number());
    } else if (edit instanceof Edit.PutCallout e) {
      highestMark = Math.max(highestMark, e.callout().id());
    } else if (edit instanceof Edit.PutOutline e) {
      highestMark = Math.max(highestMark, e.outline().id());
    } else if (edit instanceof Edit.PutRedaction e) {
      highestMark = Math.max(highestMark, e.redaction().id());
    } else if (edit instanceof Edit.PutMeasure e) {
      highestMark = Math.max(highestMark, e.measure().id());
    } else if (edit instanceof Edit.PutSpot e) {
      highestMark = Math.max(highestMark, e.spot().id());
    } else if (edit instanceof Edit.PutDeviceTest e) {
      highestTest = Math.max(highestTest, e.test().id());
    } else if (edit instanceof Edit.IssueReport e) {
      highestReport = Math.max(highestReport, e.report().number());
    }
  }
}
