package meterside.desk.model;

import java.text.Normalizer;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;

/**
 * A job about to be started.
 *
 * @param site the house, as the inspector names it
 * @param date day of the inspection, a label
 * @param zone zone of the house
 * @param route id of the route
 * @param duties id of the duties' profile
 */
public record NewJob(String site, LocalDate date, ZoneId zone, String route, String duties) {

  /**
   * A name for the job's folder: date and house in lower case with hyphens, and a number behind it
   * if that is taken.
   *
   * @param taken names of the archive's jobs
   */
  public String folderName(List<String> taken) {
    String plain =
        Normalizer.normalize(site, Normalizer.Form.NFD)
            .replaceAll("\\p{M}+", "")
            .toLowerCase(Locale.ROOT)
            .replaceAll("[^a-z0-9]+", "-")
            .replaceAll("^-+|-+$", "");
    if (plain.length() > 60) {
      plain = plain.substring(0, 60).replaceAll("-+$", "");
    }
    String base = date + "-" + (plain.isEmpty() ? "house" : plain);
    String name = base;
    for (int n = 2; taken.contains(name); n++) {
      name = base + "-" + n;
    }
    return name;
  }
}
