package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import meterside.job.AnswerKind;
import meterside.job.DutyKind;
import org.junit.jupiter.api.Test;

class DutiesTest {
  @Test
  void whatIsToBeDescribedIsDescribedFirstAndNeverFoundWithoutCondition() {
    Map<Integer, AnswerKind> ways = Duties.ways(DutyKind.DESCRIBE);
    assertEquals(AnswerKind.DESCRIPTION, ways.values().iterator().next());
    assertEquals(AnswerKind.DESCRIPTION, ways.get(1));
    assertFalse(ways.containsValue(AnswerKind.NO_CONDITION));
    assertFalse(Duties.digits(DutyKind.DESCRIBE).contains("reportable"));
    assertTrue(Duties.unfit(3, DutyKind.DESCRIBE).text().startsWith("3 is no answer"));
  }

  @Test
  void whatIsInspectedIsAnsweredByTheSameDigitsAsEver() {
    assertEquals(List.of(AnswerKind.values()), List.copyOf(Duties.ways(DutyKind.INSPECT).values()));
  }

  @Test
  void whatIsSortedIsNeverCalledCertain() {
    assertEquals("more than 99 % sure", PhotoFacts.sure(1));
    assertEquals("more than 99 % sure", PhotoFacts.sure(0.996));
    assertEquals("99 % sure", PhotoFacts.sure(0.99));
  }
}
