package meterside.search;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import meterside.trade.Part;
import meterside.trade.Term;
import meterside.trade.Trade;
import org.tartarus.snowball.ext.EnglishStemmer;

/**
 * Reads the trade's terms in texts and questions, both with the same eyes.
 *
 * <p>A term is recognized under its preferred name, a synonym, an abbreviation or a listed slip, of
 * one word or several, longest first: "panel cover" is the dead front and says nothing of the
 * panelboard; "ungrounded conductor" is the hot one and no open ground. What a name may mean twice
 * ("SEC") is every one of its meanings.
 *
 * <p>Ordinary words that are a name as well ("stay", "line", "main") and names with several
 * meanings count as weak: they are found, but rank below a text that is plain.
 *
 * <p>A word of five letters or more that is one letter off a word of the trade (one put in, left
 * out, changed, or swapped with its neighbour) is read as that word, unless it is an ordinary word
 * ("place" is no slip of "plate"). Abbreviations are never read loosely.
 */
final class Vocabulary {

  /** Shortest word that may be one letter off (the trade's own search traps say so). */
  static final int FUZZY_FROM = 5;

  /** Shortest word that may be so inside a term of several words ("service haed"). */
  private static final int SHORTEST_IN_CONTEXT = 3;

  /**
   * Something the trade has names for.
   *
   * @param id id of the term or part
   * @param term preferred name
   * @param names preferred name and synonyms
   */
  record Concept(String id, String term, List<String> names) {}

  /**
   * What a name means.
   *
   * @param concept the meaning
   * @param weak whether the name may well mean something else
   * @param slip whether the name is a listed misspelling
   * @param shortForm whether the name is an abbreviation
   */
  record Meaning(Concept concept, boolean weak, boolean slip, boolean shortForm) {}

  /**
   * A name recognized in words {@code from} to {@code to} - 1.
   *
   * @param meanings at least one
   * @param corrected whether a word had to be corrected for it
   */
  record Span(int from, int to, List<Meaning> meanings, boolean corrected) {}

  /** What search says of words beyond the trade's glossary: {@code words.json}. */
  private record Extra(
      List<String> functionWords,
      List<String> weak,
      List<String> noFamily,
      List<List<String>> families,
      Map<String, List<String>> near) {}

  private final Map<String, Concept> concepts = new LinkedHashMap<>();
  private final TreeMap<String, List<Meaning>> byName = new TreeMap<>();
  private final Map<String, List<String>> near;
  private final Set<String> tradeWords = new LinkedHashSet<>();
  private final Set<String> noFamily;
  private final List<Set<String>> families = new ArrayList<>();
  private final Set<String> nameWords = new HashSet<>();
  private final Map<String, List<String>> tradeWordsByHole = new HashMap<>();
  private final Set<String> functionWords;
  private final Set<String> plainWords;
  private final Set<String> weakWords;
  private final Tokens tokens;
  private final String fingerprint;
  private int longest;

  Vocabulary(Trade trade) {
    Extra extra = extra();
    functionWords = Set.copyOf(extra.functionWords());
    weakWords = Set.copyOf(extra.weak());
    near = Map.copyOf(extra.near());
    noFamily = Set.copyOf(extra.noFamily());
    extra.families().forEach(f -> families.add(Set.copyOf(f)));
    plainWords = plainWords();
    Set<String> shortForms = new HashSet<>();
    trade.terms().forEach(t -> addShortForms(shortForms, t.abbreviations()));
    trade.parts().forEach(p -> addShortForms(shortForms, p.abbreviations()));
    tokens = new Tokens(shortForms);
    for (Term t : trade.terms()) {
      add(t.id(), t.term(), t.synonyms(), t.abbreviations(), t.slips());
    }
    for (Part p : trade.parts()) {
      if (!concepts.containsKey(p.id())) {
        add(p.id(), p.term(), p.synonyms(), p.abbreviations(), p.slips());
      }
    }
    for (List<Meaning> meanings : byName.values()) {
      if (meanings.stream().map(Meaning::concept).distinct().count() > 1) {
        meanings.replaceAll(m -> new Meaning(m.concept(), true, m.slip(), m.shortForm()));
      }
    }
    for (String w : tradeWords) {
      for (String hole : holes(w)) {
        tradeWordsByHole.computeIfAbsent(hole, k -> new ArrayList<>()).add(w);
      }
    }
    fingerprint = fingerprint();
  }

  private static void addShortForms(Set<String> all, List<String> some) {
    some.forEach(s -> all.add(s.toLowerCase(java.util.Locale.ROOT)));
  }

  private static Extra extra() {
    try (InputStream in = Vocabulary.class.getResourceAsStream("words.json")) {
      return new ObjectMapper().readValue(in, Extra.class);
    } catch (IOException e) {
      throw new UncheckedIOException("unreadable in this build: words.json", e);
    }
  }

  private static Set<String> plainWords() {
    try (InputStream in = Vocabulary.class.getResourceAsStream("plain-words.txt")) {
      String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      return Set.of(text.strip().split("\\s+"));
    } catch (IOException e) {
      throw new UncheckedIOException("unreadable in this build: plain-words.txt", e);
    }
  }

  private void add(
      String id,
      String term,
      List<String> synonyms,
      List<String> abbreviations,
      List<String> slips) {
    List<String> names = new ArrayList<>();
    names.add(term);
    names.addAll(synonyms);
    Concept concept = new Concept(id, term, List.copyOf(names));
    concepts.put(id, concept);
    Set<String> shortForms = new HashSet<>(abbreviations);
    for (String name : names) {
      name(concept, name, shortForms.contains(name), false);
    }
    abbreviations.forEach(a -> name(concept, a, true, false));
    slips.forEach(s -> name(concept, s, false, true));
    name(concept, id.replace('-', ' '), false, false);
  }

  private void name(Concept concept, String name, boolean shortForm, boolean slip) {
    List<Word> words = tokens.words(name);
    String key = key(words, 0, words.size());
    longest = Math.max(longest, words.size());
    boolean weak = words.size() == 1 && weakWords.contains(key);
    List<Meaning> known = byName.computeIfAbsent(key, k -> new ArrayList<>());
    if (known.stream().noneMatch(m -> m.concept().equals(concept))) {
      // "H/N rev" is written apart as it stands; only what is one run must stay one.
      known.add(new Meaning(concept, weak, slip, shortForm && !name.contains(" ")));
    }
    for (Word w : words) {
      nameWords.add(w.norm());
      if (!shortForm && !slip && w.norm().length() >= SHORTEST_IN_CONTEXT) {
        tradeWords.add(w.norm());
      }
    }
    if (words.size() > 1 && words.size() == name.split(" ").length) {
      nameWords.add(key); // "driploop" is no slip of anything else
    }
  }

  private static String key(List<Word> words, int from, int to) {
    if (to - from == 1) {
      return words.get(from).norm();
    }
    StringBuilder out = new StringBuilder();
    for (int i = from; i < to; i++) {
      out.append(words.get(i).norm());
    }
    return out.toString();
  }

  // ---- what it knows ----

  /** How texts are cut into words. */
  Tokens tokens() {
    return tokens;
  }

  /** The concept of an id, or null. */
  Concept concept(String id) {
    return concepts.get(id);
  }

  /** Ids of parts that go by another name in part lists: the main breaker is a disconnect. */
  List<String> near(String concept) {
    return near.getOrDefault(concept, List.of());
  }

  /** Words that say nothing by themselves ("the", "of"). */
  boolean isFunctionWord(String norm) {
    return functionWords.contains(norm);
  }

  /** Whether a word occurs in any name of the trade, slips too. */
  boolean isNameWord(String norm) {
    return nameWords.contains(norm);
  }

  /** Whether a name is an ordinary word as well. */
  boolean isWeak(String norm) {
    return weakWords.contains(norm);
  }

  /** Changes whenever what texts are read as may change. */
  String fingerprintText() {
    return fingerprint;
  }

  // ---- reading ----

  /**
   * Recognizes names in words, leftmost and longest first, none overlapping.
   *
   * @param text whether the words are a text: there, short forms of two letters count only in
   *     capitals ("CO", not "co"), and single letters never
   */
  List<Span> recognize(List<Word> words, boolean text) {
    List<Span> out = new ArrayList<>();
    List<String> right = new ArrayList<>(words.size());
    for (Word w : words) {
      right.add(inContext(w.norm()));
    }
    for (int i = 0; i < words.size(); ) {
      Span span = null;
      for (int to = Math.min(words.size(), i + longest); to > i && span == null; to--) {
        span = span(words, right, i, to, text);
      }
      if (span != null) {
        out.add(span);
        i = span.to();
      } else {
        i++;
      }
    }
    return out;
  }

  private Span span(List<Word> words, List<String> right, int from, int to, boolean text) {
    if (words.get(from).clause() != words.get(to - 1).clause()) {
      return null;
    }
    List<Meaning> exact = meanings(words, key(words, from, to), from, to, text);
    if (!exact.isEmpty()) {
      return new Span(from, to, exact, false);
    }
    boolean any = false;
    boolean slip = false;
    StringBuilder key = new StringBuilder();
    for (int i = from; i < to; i++) {
      String norm = words.get(i).norm();
      String other = right.get(i);
      any |= other != null;
      slip |= other != null && !sameFamily(norm, other);
      key.append(other != null ? other : norm);
    }
    // A word alone needs the full length to be a slip, and another form of it names nothing.
    if (!any || to - from == 1 && correction(words.get(from).norm()) == null) {
      return null;
    }
    List<Meaning> corrected = meanings(words, key.toString(), from, to, text);
    return corrected.isEmpty() ? null : new Span(from, to, corrected, slip);
  }

  private List<Meaning> meanings(List<Word> words, String key, int from, int to, boolean text) {
    List<Meaning> all = byName.get(key);
    if (all == null) {
      return List.of();
    }
    boolean oneRun = words.get(from).chunk() == words.get(to - 1).chunk();
    boolean capitals = words.subList(from, to).stream().allMatch(w -> isCapitalOrNumber(w));
    boolean letter = key.length() == 1;
    List<Meaning> out = new ArrayList<>();
    for (Meaning m : all) {
      boolean fits = !m.shortForm() || oneRun;
      if (text && m.shortForm() && key.length() <= 2) {
        fits = !letter && oneRun && capitals;
      }
      if (fits) {
        out.add(m);
      }
    }
    return out;
  }

  private static boolean isCapitalOrNumber(Word w) {
    return w.isNumber() || w.isCapitals();
  }

  /** Meanings of names that begin with these words, the last of them unfinished. */
  List<Concept> beginning(List<Word> words) {
    String typed = key(words, 0, words.size());
    Set<Concept> out = new LinkedHashSet<>();
    for (Map.Entry<String, List<Meaning>> e : byName.tailMap(typed, false).entrySet()) {
      if (!e.getKey().startsWith(typed)) {
        break;
      }
      for (Meaning m : e.getValue()) {
        if (!m.shortForm() && !m.slip()) {
          out.add(m.concept());
        }
      }
    }
    return List.copyOf(out);
  }

  /** The word of the trade that this one is one letter off, or null. */
  String correction(String norm) {
    return norm.length() < FUZZY_FROM ? null : oneOffWord(norm, FUZZY_FROM);
  }

  /** What a word may stand for inside a term of several words, or null. */
  private String inContext(String norm) {
    if (nameWords.contains(norm) || norm.length() < SHORTEST_IN_CONTEXT) {
      return null;
    }
    String stem = stem(norm);
    if (nameWords.contains(stem) && !noFamily.contains(stem)) {
      return stem; // "double tapped"
    }
    return oneOffWord(norm, SHORTEST_IN_CONTEXT);
  }

  private String oneOffWord(String norm, int shortest) {
    if (nameWords.contains(norm) || plainWords.contains(norm)) {
      return null;
    }
    String best = null;
    for (String hole : holes(norm)) {
      for (String candidate : tradeWordsByHole.getOrDefault(hole, List.of())) {
        boolean better =
            best == null
                || candidate.charAt(0) == norm.charAt(0) && best.charAt(0) != norm.charAt(0);
        if (better && candidate.length() >= shortest && oneOff(norm, candidate)) {
          best = candidate;
        }
      }
    }
    return best;
  }

  // ---- families of words ----

  /**
   * The stem that the forms of a word share (crack, cracked, cracking), by the English stemmer of
   * the Snowball project.
   */
  static String stem(String norm) {
    EnglishStemmer stemmer = new EnglishStemmer();
    stemmer.setCurrent(norm);
    stemmer.stem();
    return stemmer.getCurrent();
  }

  /** Whether a word has other forms that mean the same; "ground" and "grounded" do not. */
  boolean hasFamily(String norm) {
    return !noFamily.contains(norm) && norm.chars().allMatch(Character::isLetter);
  }

  /** Whether two words are forms of one. */
  boolean sameFamily(String a, String b) {
    return hasFamily(a)
        && hasFamily(b)
        && (stem(a).equals(stem(b))
            || families.stream().anyMatch(f -> f.contains(a) && f.contains(b)));
  }

  /** Forms of a word that do not begin alike (corroded, corrosion); empty as a rule. */
  Set<String> irregularForms(String norm) {
    return families.stream().filter(f -> f.contains(norm)).findFirst().orElse(Set.of());
  }

  /** The word itself and the word with each letter left out: words one letter off share one. */
  private static Set<String> holes(String w) {
    Set<String> out = new LinkedHashSet<>();
    out.add(w);
    for (int i = 0; i < w.length(); i++) {
      out.add(w.substring(0, i) + w.substring(i + 1));
    }
    return out;
  }

  /** Whether two words are one letter put in, left out, changed, or two swapped apart. */
  static boolean oneOff(String a, String b) {
    if (a.equals(b) || Math.abs(a.length() - b.length()) > 1) {
      return false;
    }
    int i = 0;
    while (i < a.length() && i < b.length() && a.charAt(i) == b.charAt(i)) {
      i++;
    }
    String x = a.substring(i);
    String y = b.substring(i);
    if (x.length() > y.length()) {
      return x.substring(1).equals(y);
    }
    if (y.length() > x.length()) {
      return y.substring(1).equals(x);
    }
    boolean changed = x.substring(1).equals(y.substring(1));
    boolean swapped =
        x.length() > 1
            && x.charAt(0) == y.charAt(1)
            && x.charAt(1) == y.charAt(0)
            && x.substring(2).equals(y.substring(2));
    return changed || swapped;
  }

  private String fingerprint() {
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      for (Map.Entry<String, List<Meaning>> e : byName.entrySet()) {
        digest.update(e.getKey().getBytes(StandardCharsets.UTF_8));
        for (Meaning m : e.getValue()) {
          String line = ">" + m.concept().id() + m.weak() + m.shortForm() + "\n";
          digest.update(line.getBytes(StandardCharsets.UTF_8));
        }
      }
      for (Concept c : concepts.values()) {
        digest.update((c.id() + c.names()).getBytes(StandardCharsets.UTF_8));
      }
      plainWords.stream()
          .sorted()
          .forEach(w -> digest.update((w + " ").getBytes(StandardCharsets.UTF_8)));
      return HexFormat.of().formatHex(digest.digest()).substring(0, 16);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}
