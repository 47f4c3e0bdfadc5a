package meterside.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.trade.Trade;
import org.junit.jupiter.api.Test;

class JobFactsTest {
  @Test
  void onlyWhatChangedBecomesAnEdit() {
    Job job = new Edit.SetFact("weather", "dry").applyTo(Jobs.empty());
    job = new Edit.SetFact("occupied", "vacant").applyTo(job);
    JobFacts f = JobFacts.of(job);
    assertEquals(List.of(), f.edits(job));
    Map<String, String> facts = new LinkedHashMap<>(f.facts());
    assertEquals("vacant", facts.get("occupied"));
    assertFalse(facts.containsKey("occupancy")); // an older name of the same fact
    facts.put("weather", " ");
    facts.put("client", " J. Marrow ");
    JobFacts next = new JobFacts(f.site(), f.zone(), f.route(), f.duties(), facts);
    assertEquals(
        List.of(new Edit.SetFact("client", "J. Marrow"), new Edit.SetFact("weather", null)),
        next.edits(job));
    assertFalse(next.sorts(job));
  }

  @Test
  void anotherProfileOfDutiesKeepsTheRoute() {
    Job job = Jobs.empty();
    Trade trade = Trade.standard();
    JobFacts f = JobFacts.of(job);
    JobFacts next =
        new JobFacts(f.site(), f.zone(), f.route(), trade.profile("washington"), f.facts());
    assertEquals(
        List.of(new Edit.ChangeRoute(job.route(), trade.profile("washington"))), next.edits(job));
    Job now = next.edits(job).get(0).applyTo(job);
    assertEquals("washington", now.profile().id());
    assertTrue(
        trade.profile("covers-stay-on").duties().stream()
            .noneMatch(d -> d.id().equals("panel-inside")));
  }
}
