package meterside.work;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import meterside.job.Camera;
import meterside.job.Edit;
import meterside.job.Examples;
import meterside.job.Format;
import meterside.job.Job;
import meterside.job.Photo;
import meterside.job.PhotoId;
import meterside.job.Recorded;
import org.junit.jupiter.api.Test;

/** One shot kept twice, as HEIC and as JPEG: both stay, one is set aside. */
class TwinsTest {
  private static final String NOON = "2026:05:12 12:00:00";
  private int next = 0x10;

  private Photo photo(String name, String folder, Format format, String wall, String trouble) {
    PhotoId id = Examples.photoId(Integer.toHexString(++next));
    return new Photo(
        id,
        name,
        folder,
        1000,
        format,
        format == Format.HEIC ? "heic" : "jpg",
        4032,
        3024,
        1,
        new Recorded(wall, null, null, null, null, null, null),
        "A",
        null,
        null,
        null,
        null,
        trouble);
  }

  private static Job job(Photo... photos) {
    Job job = Job.start(Examples.header());
    job = new Edit.PutCamera(new Camera("A", null, null, null, null, null)).applyTo(job);
    return new Edit.AddPhotos(List.of(photos)).applyTo(job);
  }

  private static List<Edit> edits(Job job) {
    return Twins.edits(job, job.intakeOrder());
  }

  @Test
  void theJpegOfAPairIsSetAsideWhereTheHeicCanBeShown() {
    Photo heic = photo("IMG_1.HEIC", "DCIM", Format.HEIC, NOON, null);
    Photo jpeg = photo("img_1.jpg", "DCIM", Format.JPEG, NOON, null);
    Job job = job(heic, jpeg, photo("IMG_2.JPG", "DCIM", Format.JPEG, NOON, null));
    assertEquals(List.of(new Twins.Pair(heic, jpeg)), Twins.of(job));
    List<Edit> edits = edits(job);
    assertEquals(1, edits.size());
    Edit.SetAside aside = (Edit.SetAside) edits.get(0);
    assertEquals(List.of(jpeg.id()), aside.photos());
    assertTrue(aside.reason().contains("IMG_1.HEIC"), aside.reason());
    assertTrue(aside.on());
    Job after = aside.applyTo(job);
    assertEquals(3, after.photos().size());
    assertTrue(edits(after).isEmpty(), "said once");
  }

  @Test
  void theHeicIsSetAsideWhereItCanNotBeShown() {
    Photo heic = photo("IMG_1.HEIC", "", Format.HEIC, NOON, "can't be shown here");
    Photo jpeg = photo("IMG_1.JPG", "", Format.JPEG, NOON, null);
    Edit.SetAside aside = (Edit.SetAside) edits(job(jpeg, heic)).get(0);
    assertEquals(List.of(heic.id()), aside.photos());
  }

  @Test
  void anotherFolderAnotherMomentOrAnotherNameIsNoTwin() {
    Photo heic = photo("IMG_1.HEIC", "a", Format.HEIC, NOON, null);
    Photo folder = photo("IMG_1.JPG", "b", Format.JPEG, NOON, null);
    Photo moment = photo("IMG_1.JPG", "a", Format.JPEG, "2026:05:12 12:00:09", null);
    Photo name = photo("IMG_11.JPG", "a", Format.JPEG, NOON, null);
    assertTrue(Twins.of(job(heic, folder)).isEmpty());
    assertTrue(Twins.of(job(heic, moment)).isEmpty());
    assertTrue(Twins.of(job(heic, name)).isEmpty());
  }

  @Test
  void aPairThatWasThereBeforeIsLeftAsTheInspectorLeftIt() {
    Photo heic = photo("IMG_1.HEIC", "", Format.HEIC, NOON, null);
    Photo jpeg = photo("IMG_1.JPG", "", Format.JPEG, NOON, null);
    Job job = job(heic, jpeg);
    assertTrue(Twins.edits(job, List.of()).isEmpty());
  }
}
