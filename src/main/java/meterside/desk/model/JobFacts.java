package meterside.desk.model;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import meterside.job.DutyProfile;
import meterside.job.Edit;
import meterside.job.Job;
import meterside.job.RoutePlan;

/**
 * The facts of a job as a form: the known ones first, then whatever else is noted.
 *
 * @param site the house
 * @param zone its zone
 * @param route the route
 * @param duties the duties' profile
 * @param facts values by key, blank where nothing is noted; in the order of the form
 */
public record JobFacts(
    String site, ZoneId zone, RoutePlan route, DutyProfile duties, Map<String, String> facts) {

  /** Facts that the form asks for. */
  public static final List<String> ASKED =
      List.of(
          "client",
          "inspector",
          "license",
          "start",
          "end",
          "weather",
          "occupancy",
          "power",
          "year-built",
          "exclusions",
          "limits");

  /** Facts with a few usual values. */
  public static final Map<String, List<String>> USUAL =
      Map.of("occupancy", List.of("occupied", "vacant"), "power", List.of("on", "off"));

  private static final Map<String, String> OTHER_NAMES =
      Map.of(
          "occupied",
          "occupancy",
          "exclusion",
          "exclusions",
          "limitations",
          "limits",
          "limit",
          "limits");

  /** Copies the facts. */
  public JobFacts {
    facts = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(facts));
  }

  /** The facts of a job. */
  public static JobFacts of(Job job) {
    Map<String, String> out = new LinkedHashMap<>();
    ASKED.forEach(k -> out.put(keyIn(job, k), ""));
    job.facts().forEach(out::put);
    return new JobFacts(job.site(), job.zone(), job.route(), job.profile(), out);
  }

  /** The key a job uses for an asked fact; an older name of it if that is what it has. */
  private static String keyIn(Job job, String asked) {
    for (String k : job.facts().keySet()) {
      if (known(k).equals(asked)) {
        return k;
      }
    }
    return asked;
  }

  /** The asked fact that a key stands for, or the key itself. */
  public static String known(String key) {
    String k = key.strip().toLowerCase(Locale.ROOT).replaceAll("[\\s_]+", "-");
    return OTHER_NAMES.getOrDefault(k, k);
  }

  /** What the screen calls a fact. */
  public static String title(String key) {
    String k = known(key);
    if (ASKED.contains(k)) {
      return Words.say("fact." + k);
    }
    String plain = key.replace('-', ' ').replace('_', ' ').replace("#", ": ");
    return plain.substring(0, 1).toUpperCase(Locale.ROOT) + plain.substring(1);
  }

  /** The edits that make a job's facts these. */
  public List<Edit> edits(Job job) {
    List<Edit> out = new ArrayList<>();
    if (!site.isBlank() && !site.strip().equals(job.site())) {
      out.add(new Edit.SetSite(site.strip()));
    }
    if (!zone.equals(job.zone())) {
      out.add(new Edit.SetZone(zone));
    }
    if (!route.equals(job.route()) || !duties.equals(job.profile())) {
      out.add(new Edit.ChangeRoute(route, duties));
    }
    facts.forEach(
        (k, v) -> {
          String now = v.isBlank() ? null : v.strip();
          if (!Objects.equals(now, job.facts().get(k))) {
            out.add(new Edit.SetFact(k, now));
          }
        });
    return out;
  }

  /** Whether photos have to be laid along the route again. */
  public boolean sorts(Job job) {
    return !zone.equals(job.zone()) || !route.equals(job.route());
  }

  /** Reads a zone as it was typed. */
  public static Optional<ZoneId> zone(String typed) {
    try {
      return Optional.of(ZoneId.of(typed.strip()));
    } catch (java.time.DateTimeException e) {
      return Optional.empty();
    }
  }

  /** Keeps the facts in one step. */
  public void keep(JobDesk desk) {
    Job job = desk.job();
    List<Edit> edits = edits(job);
    if (!edits.isEmpty()) {
      desk.act(sorts(job), () -> edits, () -> {});
    }
  }
}
