package meterside.trade;

import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meterside.job.Duty;
import meterside.job.DutyProfile;
import meterside.job.FindingKind;
import meterside.job.RoutePlan;
import meterside.job.Stop;

/**
 * The trade's knowledge, loaded once from {@code trade/*.json} on the class path. Immutable.
 *
 * <p>A typed word is matched in three ranks: an id or a preferred term; then a synonym, an
 * abbreviation or a listed slip; then a term or synonym that is one letter off, in words of five
 * letters or more. Abbreviations are never matched loosely ("gcfi" is a listed slip of GFCI; it is
 * one letter from other things too). Case, hyphens and plural do not count.
 */
public final class Trade {

  private record GlossaryEntry(
      int row,
      String id,
      String term,
      List<String> synonyms,
      List<String> abbreviations,
      List<String> slips,
      String meaning,
      boolean ambiguous,
      String part,
      List<String> stops) {}

  private record Ambiguity(String typed, String says) {}

  private record Glossary(
      String source, List<GlossaryEntry> entries, List<Ambiguity> ambiguities) {}

  private record Routes(String source, List<RoutePlan> routes) {}

  private record Profiles(List<DutyProfile> profiles, List<Variant> variants) {
    List<DutyProfile> all() {
      List<DutyProfile> out = new ArrayList<>(profiles);
      variants.forEach(v -> out.add(v.of(profiles)));
      return List.copyOf(out);
    }
  }

  /** A profile of a state or an agreement, written as what differs from another one. */
  private record Variant(
      String id,
      String title,
      String dated,
      String source,
      String basedOn,
      List<String> without,
      List<Duty> changed) {

    DutyProfile of(List<DutyProfile> profiles) {
      DutyProfile base =
          profiles.stream().filter(p -> p.id().equals(basedOn)).findFirst().orElseThrow();
      List<Duty> duties = new ArrayList<>();
      for (Duty d : base.duties()) {
        if (!without.contains(d.stop() + "/" + d.id())) {
          duties.add(
              changed.stream()
                  .filter(c -> c.stop().equals(d.stop()) && c.id().equals(d.id()))
                  .findFirst()
                  .orElse(d));
        }
      }
      return new DutyProfile(id, title, dated, source, duties);
    }
  }

  private record Caution(String stop, String text, String source) {}

  private record Cautions(String note, List<Caution> cautions) {}

  private record NumberedStop(int number, String stop, Map<String, String> elsewhere) {}

  private record WordingEntry(
      String id,
      int number,
      String stop,
      String part,
      FindingKind kind,
      String who,
      boolean urgent,
      String seen,
      String why) {}

  private record WordingFile(
      String source,
      List<NumberedStop> stopsByNumber,
      Map<String, String> who,
      List<WordingEntry> wordings) {}

  /** A name of an entry, made alike. */
  private record Name(Words words, boolean loose) {}

  /** An entry with its names in their ranks. */
  private record Entry(Term term, boolean isPart, List<Words> first, List<Name> more) {}

  private static final class Holder {
    static final Trade STANDARD = new Trade(new ObjectMapper());
  }

  private final List<RoutePlan> routes;
  private final List<DutyProfile> profiles;
  private final Map<String, Part> parts = new LinkedHashMap<>();
  private final List<Term> terms = new ArrayList<>();
  private final List<Entry> entries = new ArrayList<>();
  private final List<Ambiguity> ambiguities;
  private final Map<String, String> cautions = new LinkedHashMap<>();
  private final List<Wording> wordings = new ArrayList<>();
  private final Map<Integer, String> stopsByNumber = new LinkedHashMap<>();
  private final Clearances clearances;
  private final CommonSizes sizes;
  private final Ratings ratings;

  /** The knowledge that comes with the program. */
  public static Trade standard() {
    return Holder.STANDARD;
  }

  private Trade(ObjectMapper json) {
    routes = List.copyOf(load(json, "routes", new TypeReference<Routes>() {}).routes());
    profiles = load(json, "duties", new TypeReference<Profiles>() {}).all();
    Glossary glossary = load(json, "glossary", new TypeReference<Glossary>() {});
    ambiguities = List.copyOf(glossary.ambiguities());
    for (GlossaryEntry e : glossary.entries()) {
      addEntry(e);
    }
    for (Caution c : load(json, "cautions", new TypeReference<Cautions>() {}).cautions()) {
      cautions.put(c.stop(), c.text());
    }
    addWordings(load(json, "wordings", new TypeReference<WordingFile>() {}));
    clearances = load(json, "clearances", new TypeReference<Clearances>() {});
    sizes = load(json, "sizes", new TypeReference<CommonSizes>() {});
    ratings = load(json, "ratings", new TypeReference<Ratings>() {});
  }

  private static <T> T load(ObjectMapper json, String name, TypeReference<T> type) {
    String path = "/trade/" + name + ".json";
    try (InputStream in = Trade.class.getResourceAsStream(path)) {
      if (in == null) {
        throw new IllegalStateException("missing in this build: " + path);
      }
      return json.readValue(in, type);
    } catch (IOException e) {
      throw new UncheckedIOException("unreadable in this build: " + path, e);
    }
  }

  private void addEntry(GlossaryEntry e) {
    Term term =
        new Term(
            e.id(),
            e.term(),
            e.synonyms(),
            e.abbreviations(),
            e.slips(),
            e.meaning(),
            e.part(),
            e.ambiguous());
    boolean isPart = e.id().equals(e.part());
    if (isPart) {
      parts.put(
          e.id(),
          new Part(
              e.id(),
              e.term(),
              e.synonyms(),
              e.abbreviations(),
              e.slips(),
              e.meaning(),
              e.stops()));
    }
    if (e.row() > 0) {
      terms.add(term);
    }
    List<Name> more = new ArrayList<>();
    e.synonyms().forEach(s -> more.add(new Name(Words.of(s), true)));
    e.abbreviations().forEach(s -> more.add(new Name(Words.of(s), false)));
    e.slips().forEach(s -> more.add(new Name(Words.of(s), false)));
    entries.add(new Entry(term, isPart, List.of(Words.of(e.id()), Words.of(e.term())), more));
  }

  private void addWordings(WordingFile file) {
    Map<Integer, NumberedStop> byNumber = new LinkedHashMap<>();
    for (NumberedStop n : file.stopsByNumber()) {
      byNumber.put(n.number(), n);
      stopsByNumber.put(n.number(), n.stop());
    }
    for (WordingEntry w : file.wordings()) {
      String stop = w.stop();
      if (stop == null) {
        NumberedStop n = byNumber.get(w.number());
        stop = n.elsewhere().getOrDefault(w.part(), n.stop());
      }
      wordings.add(
          new Wording(
              w.id(),
              stop,
              w.part(),
              w.kind(),
              w.seen(),
              w.why(),
              file.who().get(w.who()),
              w.urgent()));
    }
  }

  // ---- routes and duties ----

  /**
   * A route.
   *
   * @param id {@code overhead} or {@code underground}
   * @throws IllegalArgumentException if there is no such route
   */
  public RoutePlan route(String id) {
    return routes.stream()
        .filter(r -> r.id().equals(id))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no route " + id));
  }

  /** All routes; the first is the default. */
  public List<RoutePlan> routes() {
    return routes;
  }

  /**
   * A profile of duties. It serves every route: duties of stops that a route lacks stay unseen.
   *
   * @param id {@code general} is the default
   * @throws IllegalArgumentException if there is no such profile
   */
  public DutyProfile profile(String id) {
    return profiles.stream()
        .filter(p -> p.id().equals(id))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no profile " + id));
  }

  /** All profiles; the first is the default. */
  public List<DutyProfile> profiles() {
    return profiles;
  }

  /** A stop of any route. */
  public Optional<Stop> stop(String id) {
    return routes.stream().flatMap(r -> r.stop(id).stream()).findFirst();
  }

  // ---- words ----

  /** All parts, in the glossary's order. */
  public List<Part> parts() {
    return List.copyOf(parts.values());
  }

  /** The part with this id. */
  public Optional<Part> part(String id) {
    return Optional.ofNullable(parts.get(id));
  }

  /** The preferred term of a part, or the id itself if it is unknown. */
  public String term(String partId) {
    Part p = parts.get(partId);
    return p == null ? partId : p.term();
  }

  /** The glossary's 75 rows, those that are no part too. */
  public List<Term> terms() {
    return List.copyOf(terms);
  }

  /**
   * The part that a typed word names or is said of ("double lug" is said of a breaker). Empty if it
   * names none, or several ("SEC"): ask {@link #meanings} then.
   *
   * @param typed an id, term, synonym, abbreviation or slip
   */
  public Optional<Part> resolve(String typed) {
    Set<String> ids = new LinkedHashSet<>();
    for (Term t : meanings(typed)) {
      if (t.part() != null) {
        ids.add(t.part());
      }
    }
    return ids.size() == 1 ? part(ids.iterator().next()) : Optional.empty();
  }

  /**
   * Every entry that a typed word may mean, of the best rank that any has: several for an ambiguous
   * word, none for an unknown one.
   */
  public List<Term> meanings(String typed) {
    Words w = Words.of(typed);
    if (w.isEmpty()) {
      return List.of();
    }
    List<Term> best = new ArrayList<>();
    int bestRank = 3;
    for (Entry e : entries) {
      int rank = rank(e, w);
      if (rank < bestRank) {
        bestRank = rank;
        best.clear();
      }
      if (rank == bestRank && rank < 3) {
        best.add(e.term());
      }
    }
    return List.copyOf(best);
  }

  private static int rank(Entry e, Words typed) {
    if (e.first().stream().anyMatch(typed::same)) {
      return 0;
    }
    if (e.more().stream().anyMatch(n -> typed.same(n.words()))) {
      return 1;
    }
    boolean loose =
        e.first().stream().anyMatch(typed::almost)
            || e.more().stream().anyMatch(n -> n.loose() && typed.almost(n.words()));
    return loose ? 2 : 3;
  }

  /** A sentence on what else a typed word may mean, if it is one of those used for two things. */
  public Optional<String> ambiguity(String typed) {
    Words w = Words.of(typed);
    return ambiguities.stream()
        .filter(a -> w.same(Words.of(a.typed())))
        .map(Ambiguity::says)
        .findFirst();
  }

  /**
   * Parts that fit what has been typed so far: those of the stop first; within that, parts whose
   * term begins so, then those with a synonym, abbreviation or slip that begins so, then those with
   * a word one letter off.
   *
   * @param typed so far; empty lists the stop's parts
   * @param stopId id of the stop, or null
   */
  public List<Part> complete(String typed, String stopId) {
    Words w = Words.of(typed);
    record Fit(Part part, int away, int rank, int order) {}
    List<Fit> fits = new ArrayList<>();
    int order = 0;
    for (Entry e : entries) {
      Part part = e.term().part() == null ? null : parts.get(e.term().part());
      order++;
      if (part == null) {
        continue;
      }
      int home = stopId == null ? -1 : part.stops().indexOf(stopId);
      int rank = w.isEmpty() ? (home >= 0 && e.isPart() ? 0 : 9) : completionRank(e, w);
      if (rank < 9) {
        // Parts whose own stop this is come before those that are at home here as well.
        int away = home < 0 ? 2 : Math.min(home, 1);
        away += rank == 4 ? 3 : 0; // a guess at a slip comes last, wherever it is at home
        fits.add(new Fit(part, away, rank, order));
      }
    }
    fits.sort(
        Comparator.comparingInt(Fit::away)
            .thenComparingInt(Fit::rank)
            .thenComparingInt(Fit::order));
    return fits.stream().map(Fit::part).distinct().toList();
  }

  private static int completionRank(Entry e, Words typed) {
    if (e.more().stream().anyMatch(n -> typed.same(n.words()))) {
      return 0; // a short form or slip typed in full is as good as the term
    }
    if (e.first().stream().anyMatch(n -> n.joined().startsWith(typed.joined()))) {
      return 1;
    }
    if (e.first().stream().anyMatch(typed::begins)) {
      return 2;
    }
    if (e.more().stream().anyMatch(n -> typed.begins(n.words()))) {
      return 3;
    }
    boolean loose =
        e.first().stream().anyMatch(n -> typed.almost(n) || typed.almostAWordOf(n))
            || e.more().stream()
                .anyMatch(
                    n -> n.loose() && (typed.almost(n.words()) || typed.almostAWordOf(n.words())));
    return loose ? 4 : 9;
  }

  // ---- the rest ----

  /** What to be careful about at a stop, in a sentence or two; empty for an unknown stop. */
  public String caution(String stopId) {
    return cautions.getOrDefault(stopId, "");
  }

  /** Ready wording for common findings. */
  public List<Wording> wordings() {
    return List.copyOf(wordings);
  }

  /**
   * Ready wording for a stop.
   *
   * @param stopId id of the stop
   * @param partId id of a part, or null for all of the stop's
   */
  public List<Wording> wordingsFor(String stopId, String partId) {
    return wordings.stream()
        .filter(w -> w.stop().equals(stopId) && (partId == null || w.part().equals(partId)))
        .toList();
  }

  /**
   * The stop ids behind the 13 numbers that the trade's list of common findings uses (number 12
   * holds GFCI and AFCI too, which have a stop of their own here).
   */
  public Map<Integer, String> stopsByNumber() {
    return Map.copyOf(stopsByNumber);
  }

  /** Clearances of overhead wires, by edition. */
  public Clearances clearances() {
    return clearances;
  }

  /** Things of known size that lengths in photos are measured by. */
  public CommonSizes sizes() {
    return sizes;
  }

  /** Usual ratings of breakers and fuses. */
  public Ratings ratings() {
    return ratings;
  }
}
