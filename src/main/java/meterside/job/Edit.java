package meterside.job;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import org.pcollections.TreePVector;

/**
 * Something that happens to a job. A job is the fold of its edits.
 *
 * <p>Each edit is written to the journal with its type and version (the archive room's codec keeps
 * the names), and readers fold every version ever written. To add one: add a record here, its
 * change to {@link Job}, its name in the codec, and an example in the test of written forms.
 *
 * <p>{@link #applyTo} refuses with an {@link EditRefused} what the job can't take; a refused edit
 * is never written.
 */
public sealed interface Edit {

  /** The job after this edit. */
  Job applyTo(Job job);

  /**
   * Whether this edit is no step and bars the way: neither it nor anything before it can be undone
   * any more.
   */
  default boolean barsTheWay() {
    return false;
  }

  /** Moves back by one step. Resolved by {@link History} before the fold. */
  record StepBack() implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job;
    }
  }

  /** Moves forward again by one step. Resolved by {@link History} before the fold. */
  record StepForward() implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job;
    }
  }

  /**
   * Stands where the journal holds an edit that this program does not understand (a newer one wrote
   * it), or one that rests on such an edit. Changes nothing and is never written; the job is then
   * read-only.
   *
   * @param type name of the edit's type
   * @param version version of its form
   */
  record NotUnderstood(String type, int version) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job;
    }
  }

  /**
   * Renames the house.
   *
   * @param site as the inspector names it
   */
  record SetSite(String site) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.with(c -> c.site = site);
    }
  }

  /**
   * Sets the zone of the house; true times are worked out again.
   *
   * @param zone the zone
   */
  record SetZone(ZoneId zone) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.with(c -> c.zone = zone);
    }
  }

  /**
   * Sets a job fact (client, weather, cover removed …).
   *
   * @param key the fact's key
   * @param value what is so, or null to take it away
   */
  record SetFact(String key, String value) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.with(c -> c.facts = value == null ? c.facts.minus(key) : c.facts.plus(key, value));
    }
  }

  /**
   * Changes the route and its duties; what was sorted and answered stays.
   *
   * @param route the new route
   * @param profile the duties that go with it
   */
  record ChangeRoute(RoutePlan route, DutyProfile profile) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.with(
          c -> {
            c.route = route;
            c.profile = profile;
          });
    }
  }

  /**
   * Names an instance of a stop ("garage subpanel"), with duties of its own.
   *
   * @param at the instance
   */
  record AddInstance(StopKey at) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireStop(at.stop());
      return job.with(c -> c.instances = c.instances.plus(at));
    }
  }

  /**
   * Makes a camera known, or changes what is known of it.
   *
   * @param camera the camera
   */
  record PutCamera(Camera camera) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.with(c -> c.cameras = c.cameras.plus(camera.id(), camera));
    }
  }

  /**
   * Adds photos whose bytes are in the archive already.
   *
   * @param photos in path order
   */
  record AddPhotos(List<Photo> photos) implements Edit {
    /** Copies the list. */
    public AddPhotos {
      photos = List.copyOf(photos);
    }

    @Override
    public Job applyTo(Job job) {
      return job.withPhotos(photos);
    }
  }

  /**
   * Sets a camera's clock.
   *
   * @param camera id of the camera
   * @param clock how far it is off, or null to forget what was said
   */
  record SetClock(String camera, Clock clock) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireCamera(camera);
      return job.with(
          c -> c.clocks = clock == null ? c.clocks.minus(camera) : c.clocks.plus(camera, clock));
    }
  }

  /**
   * Puts photos at a stop by hand; the sorting leaves them there.
   *
   * @param photos the photos
   * @param at the stop
   */
  record PlaceByHand(List<PhotoId> photos, StopKey at) implements Edit {
    /** Copies the list. */
    public PlaceByHand {
      photos = List.copyOf(photos);
    }

    @Override
    public Job applyTo(Job job) {
      job.requireStop(at.stop());
      photos.forEach(job::requirePhoto);
      return job.with(
          c -> {
            for (PhotoId p : photos) {
              c.placements = c.placements.plus(p, new Placement(at, PlacementBasis.BY_HAND, 1));
            }
          });
    }
  }

  /**
   * Lets the sorting place photos again that were put by hand.
   *
   * @param photos the photos
   */
  record ReleaseByHand(List<PhotoId> photos) implements Edit {
    /** Copies the list. */
    public ReleaseByHand {
      photos = List.copyOf(photos);
    }

    @Override
    public Job applyTo(Job job) {
      photos.forEach(job::requirePhoto);
      return job.with(
          c -> {
            for (PhotoId p : photos) {
              Placement was = c.placements.get(p);
              if (was != null && was.basis() == PlacementBasis.BY_HAND) {
                c.placements =
                    c.placements.plus(p, new Placement(was.at(), PlacementBasis.INFERRED, 0));
              }
            }
          });
    }
  }

  /**
   * Photos that the sorting lays at one stop.
   *
   * @param at the stop
   * @param basis inferred or by code, never by hand
   * @param photos in true-time order
   * @param confidence one probability for each photo
   */
  record Run(StopKey at, PlacementBasis basis, List<PhotoId> photos, List<Double> confidence) {
    /** Copies the lists and checks that they fit. */
    public Run {
      photos = List.copyOf(photos);
      confidence = List.copyOf(confidence);
      if (photos.size() != confidence.size() || basis == PlacementBasis.BY_HAND) {
        throw new EditRefused("sorting.malformed");
      }
    }
  }

  /**
   * The sorting's result, recorded so that an old job opens as it was left. Only photos whose place
   * or confidence changed need to be in it.
   *
   * @param solver name and version of the solver
   * @param priors hash of the priors it used
   * @param runs photos by stop
   */
  record RecordSorting(String solver, String priors, List<Run> runs) implements Edit {
    /** Copies the list. */
    public RecordSorting {
      runs = List.copyOf(runs);
    }

    @Override
    public Job applyTo(Job job) {
      for (Run run : runs) {
        job.requireStop(run.at().stop());
        run.photos().forEach(job::requirePhoto);
      }
      return job.with(
          c -> {
            for (Run run : runs) {
              for (int i = 0; i < run.photos().size(); i++) {
                PhotoId p = run.photos().get(i);
                Placement was = c.placements.get(p);
                if (was != null && was.basis() == PlacementBasis.BY_HAND) {
                  throw new EditRefused("sorting.by-hand", p.brief());
                }
                c.placements =
                    c.placements.plus(
                        p, new Placement(run.at(), run.basis(), run.confidence().get(i)));
              }
            }
            c.solver = solver;
          });
    }
  }

  /**
   * Says that photos serve a second stop too, or no longer do.
   *
   * @param photos the photos
   * @param at the other stop
   * @param on whether they serve it
   */
  record AlsoServe(List<PhotoId> photos, StopKey at, boolean on) implements Edit {
    /** Copies the list. */
    public AlsoServe {
      photos = List.copyOf(photos);
    }

    @Override
    public Job applyTo(Job job) {
      job.requireStop(at.stop());
      photos.forEach(job::requirePhoto);
      return job.withAlso(photos, at, on);
    }
  }

  /**
   * Sets photos aside (kept, out of the way, not in the report), or takes them back.
   *
   * @param photos the photos
   * @param on whether they are set aside
   * @param reason why, or null
   */
  record SetAside(List<PhotoId> photos, boolean on, String reason) implements Edit {
    /** Copies the list. */
    public SetAside {
      photos = List.copyOf(photos);
    }

    @Override
    public Job applyTo(Job job) {
      photos.forEach(job::requirePhoto);
      return job.with(
          c -> {
            for (PhotoId p : photos) {
              c.aside = on ? c.aside.plus(p, reason == null ? "" : reason) : c.aside.minus(p);
            }
          });
    }
  }

  /**
   * Makes photos notes to self (never in a report), or takes that back.
   *
   * @param photos the photos
   * @param on whether they are notes to self
   */
  record NoteToSelf(List<PhotoId> photos, boolean on) implements Edit {
    /** Copies the list. */
    public NoteToSelf {
      photos = List.copyOf(photos);
    }

    @Override
    public Job applyTo(Job job) {
      photos.forEach(job::requirePhoto);
      return job.with(
          c -> {
            for (PhotoId p : photos) {
              c.notesToSelf = on ? c.notesToSelf.plus(p) : c.notesToSelf.minus(p);
            }
          });
    }
  }

  /**
   * Draws a callout, or changes the one with its number.
   *
   * @param callout the callout
   */
  record PutCallout(Callout callout) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireFindingOrNull(callout.finding());
      return job.withMark(callout);
    }
  }

  /**
   * Draws an outline, or changes the one with its number.
   *
   * @param outline the outline
   */
  record PutOutline(Outline outline) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireFindingOrNull(outline.finding());
      return job.withMark(outline);
    }
  }

  /**
   * Hides an area in everything delivered, or changes the redaction with its number.
   *
   * @param redaction the redaction
   */
  record PutRedaction(Redaction redaction) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.withMark(redaction);
    }
  }

  /**
   * Keeps a measurement, or changes the one with its number.
   *
   * @param measure the measurement with its result
   */
  record PutMeasure(Measure measure) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireFindingOrNull(measure.finding());
      return job.withMark(measure);
    }
  }

  /**
   * Ties a close photo to its spot in a wide one, or changes the spot with its number.
   *
   * @param spot the spot
   */
  record PutSpot(Spot spot) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requirePhoto(spot.close());
      return job.withMark(spot);
    }
  }

  /**
   * Says how a photo is shown in what is delivered. Marks and original stay as they are.
   *
   * @param photo the photo
   * @param view how, or null for as it was taken
   */
  record SetReportView(PhotoId photo, ReportView view) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requirePhoto(photo);
      boolean plain = view == null || view.equals(ReportView.AS_TAKEN);
      return job.with(c -> c.views = plain ? c.views.minus(photo) : c.views.plus(photo, view));
    }
  }

  /**
   * Takes a mark away.
   *
   * @param id number of the mark
   */
  record RemoveMark(int id) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.withoutMark(id);
    }
  }

  /**
   * Records a finding, or changes the one with its number.
   *
   * @param finding the finding
   */
  record PutFinding(Finding finding) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireStop(finding.at().stop());
      finding.photos().forEach(job::requirePhoto);
      if (job.withdrawn().containsKey(finding.number())) {
        throw new EditRefused("finding.withdrawn", finding.label());
      }
      return job.with(c -> c.findings = c.findings.plus(finding.number(), finding));
    }
  }

  /**
   * Withdraws a finding; its number is not used again. Marks and answers tied to it are untied.
   *
   * @param number number of the finding
   * @param reason why, or null
   */
  record WithdrawFinding(int number, String reason) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.withoutFinding(number, reason == null ? "" : reason);
    }
  }

  /**
   * Answers a duty, in place of any answer before.
   *
   * @param duty the duty
   * @param answer the answer
   */
  record GiveAnswer(DutyKey duty, Answer answer) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireDuty(duty);
      job.requireFindingOrNull(answer.finding());
      answer.photos().forEach(job::requirePhoto);
      return job.with(c -> c.answers = c.answers.plus(duty, answer));
    }
  }

  /**
   * Takes the answer to a duty back; it is open again.
   *
   * @param duty the duty
   */
  record ReopenDuty(DutyKey duty) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireDuty(duty);
      return job.with(c -> c.answers = c.answers.minus(duty));
    }
  }

  /**
   * Records a device test, or changes the one with its number.
   *
   * @param test the test
   */
  record PutDeviceTest(DeviceTest test) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireStop(test.at().stop());
      job.requireFindingOrNull(test.finding());
      test.photos().forEach(job::requirePhoto);
      return job.with(c -> c.tests = c.tests.plus(test.id(), test));
    }
  }

  /**
   * Takes a device test away.
   *
   * @param id number of the test
   */
  record RemoveDeviceTest(int id) implements Edit {
    @Override
    public Job applyTo(Job job) {
      if (!job.tests().containsKey(id)) {
        throw new EditRefused("test.unknown", Integer.toString(id));
      }
      return job.with(c -> c.tests = c.tests.minus(id));
    }
  }

  /**
   * Counts what was looked at in a room for a sampled duty, in place of that room's count before.
   *
   * @param duty the duty
   * @param count the room's count; one of nothing takes it away
   */
  record CountRoom(DutyKey duty, RoomCount count) implements Edit {
    @Override
    public Job applyTo(Job job) {
      job.requireDuty(duty);
      return job.withCount(duty, count);
    }
  }

  /**
   * Notes what codes were read in photos, in place of what was read in them before.
   *
   * @param seen photos with their codes
   */
  record NoteCodes(List<CodesSeen> seen) implements Edit {
    /** Copies the list. */
    public NoteCodes {
      seen = List.copyOf(seen);
    }

    @Override
    public Job applyTo(Job job) {
      seen.forEach(s -> job.requirePhoto(s.photo()));
      return job.with(
          c -> {
            for (CodesSeen s : seen) {
              c.codes =
                  s.texts().isEmpty()
                      ? c.codes.minus(s.photo())
                      : c.codes.plus(s.photo(), TreePVector.from(s.texts()));
            }
          });
    }
  }

  /**
   * Notes where photos came from.
   *
   * @param photos the photos
   * @param source the place
   */
  record NoteSource(List<PhotoId> photos, Source source) implements Edit {
    /** Copies the list. */
    public NoteSource {
      photos = List.copyOf(photos);
    }

    @Override
    public Job applyTo(Job job) {
      photos.forEach(job::requirePhoto);
      return job.with(
          c -> {
            for (PhotoId p : photos) {
              c.sources = c.sources.plus(p, source);
            }
          });
    }
  }

  /**
   * Adds files that are kept beside the photos and whose bytes are in the archive already.
   *
   * @param attachments in path order
   */
  record AddAttachments(List<Attachment> attachments) implements Edit {
    /** Copies the list. */
    public AddAttachments {
      attachments = List.copyOf(attachments);
    }

    @Override
    public Job applyTo(Job job) {
      return job.with(
          c -> {
            for (Attachment a : attachments) {
              c.gone = c.gone.minus(a.id());
              c.attachments = c.attachments.plus(a.id(), a);
            }
          });
    }
  }

  /**
   * Withdraws files that were kept beside the photos, as {@link WithdrawPhotos} does with photos.
   *
   * @param attachments the files
   * @param reason why; never empty
   * @param movedTo name of the job that holds them now, or null if none does
   */
  record WithdrawAttachments(List<PhotoId> attachments, String reason, String movedTo)
      implements Edit {
    /** Copies the list and refuses to go on without a reason. */
    public WithdrawAttachments {
      attachments = List.copyOf(attachments);
      if (reason == null || reason.isBlank()) {
        throw new EditRefused("photo.needs-reason");
      }
    }

    @Override
    public Job applyTo(Job job) {
      for (PhotoId id : attachments) {
        if (!job.attachments().containsKey(id)) {
          throw new EditRefused("attachment.unknown", id.brief());
        }
      }
      if (job.hold().isPresent()) {
        throw new EditRefused("hold.no-withdrawal", job.hold().get());
      }
      return job.with(
          c -> {
            for (PhotoId id : attachments) {
              String name = job.attachments().get(id).name();
              c.gone = c.gone.plus(id, new WithdrawnPhoto(id, name, reason, movedTo));
              c.attachments = c.attachments.minus(id);
            }
          });
    }

    @Override
    public boolean barsTheWay() {
      return true;
    }
  }

  /**
   * Withdraws photos: everything said about them goes, and their bytes are removed after this edit
   * is written. Another client's photo is a privacy matter. No step, and bars the way, since bytes
   * can't come back. The facts that were recorded when they were taken in stay in the journal.
   *
   * @param photos the photos
   * @param reason why; never empty
   * @param movedTo name of the job that holds them now, or null if none does
   */
  record WithdrawPhotos(List<PhotoId> photos, String reason, String movedTo) implements Edit {
    /** Copies the list and refuses to go on without a reason. */
    public WithdrawPhotos {
      photos = List.copyOf(photos);
      if (reason == null || reason.isBlank()) {
        throw new EditRefused("photo.needs-reason");
      }
    }

    @Override
    public Job applyTo(Job job) {
      photos.forEach(job::requirePhoto);
      if (job.hold().isPresent()) {
        throw new EditRefused("hold.no-withdrawal", job.hold().get());
      }
      return job.withoutPhotos(photos, reason, movedTo);
    }

    @Override
    public boolean barsTheWay() {
      return true;
    }
  }

  /**
   * Says until when the job must be kept. The program never deletes a job; the date tells the
   * inspector when it may be looked at.
   *
   * @param until the last day on which it must be there, or null to say nothing
   */
  record KeepUntil(LocalDate until) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.with(c -> c.keepUntil = until);
    }
  }

  /**
   * Holds the job because of a complaint or a claim: while it is held, no photo may be withdrawn
   * and no date lets it go.
   *
   * @param on whether it is held from now on
   * @param reason why it is held, or why no longer; never empty
   */
  record SetHold(boolean on, String reason) implements Edit {
    /** Refuses to go on without a reason. */
    public SetHold {
      if (reason == null || reason.isBlank()) {
        throw new EditRefused("hold.needs-reason");
      }
    }

    @Override
    public Job applyTo(Job job) {
      return job.with(c -> c.hold = on ? reason : null);
    }
  }

  /**
   * Issues a report. No step: it bars the way.
   *
   * @param report what was issued
   */
  record IssueReport(IssuedReport report) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.with(c -> c.reports = c.reports.plus(report));
    }

    @Override
    public boolean barsTheWay() {
      return true;
    }
  }

  /**
   * Begins an evidence package. No step: it bars the way. The package holds the journal up to this
   * line.
   *
   * @param bag name of the package's folder
   */
  record StartPacking(String bag) implements Edit {
    @Override
    public Job applyTo(Job job) {
      if (job.packaging().isPresent()) {
        throw new EditRefused("packing.twice");
      }
      return job.with(c -> c.packaging = new Packaging(bag, null));
    }

    @Override
    public boolean barsTheWay() {
      return true;
    }
  }

  /**
   * The package that was begun is there, whole and on the disk.
   *
   * @param tagManifest SHA-256 of its {@code tagmanifest-sha256.txt}
   */
  record FinishPacking(String tagManifest) implements Edit {
    @Override
    public Job applyTo(Job job) {
      Packaging begun =
          job.packaging().filter(p -> !p.done()).orElseThrow(() -> new EditRefused("packing.none"));
      return job.with(c -> c.packaging = new Packaging(begun.bag(), tagManifest));
    }

    @Override
    public boolean barsTheWay() {
      return true;
    }
  }

  /** The package that was begun did not come about; the job is open again. */
  record WithdrawPacking() implements Edit {
    @Override
    public Job applyTo(Job job) {
      if (job.packaging().filter(p -> !p.done()).isEmpty()) {
        throw new EditRefused("packing.none");
      }
      return job.with(c -> c.packaging = null);
    }

    @Override
    public boolean barsTheWay() {
      return true;
    }
  }

  /**
   * Opens a packed job for further edits. The package stays as it is.
   *
   * @param reason why
   */
  record Reopen(String reason) implements Edit {
    @Override
    public Job applyTo(Job job) {
      if (job.packaging().filter(Packaging::done).isEmpty()) {
        throw new EditRefused("reopen.not-packed");
      }
      if (reason == null || reason.isBlank()) {
        throw new EditRefused("reopen.no-reason");
      }
      return job.with(c -> c.packaging = null);
    }

    @Override
    public boolean barsTheWay() {
      return true;
    }
  }

  /**
   * Records that a part of the job was handed out. No step: it bars the way.
   *
   * @param extract what was handed out
   */
  record RecordExtract(Extract extract) implements Edit {
    @Override
    public Job applyTo(Job job) {
      return job.with(c -> c.extracts = c.extracts.plus(extract));
    }

    @Override
    public boolean barsTheWay() {
      return true;
    }
  }
}
