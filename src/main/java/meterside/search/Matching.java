package meterside.search;

import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import meterside.job.Sentences;
import meterside.trade.Trade;
import org.apache.lucene.index.IndexReader;
import org.apache.lucene.index.MultiTerms;
import org.apache.lucene.index.Term;
import org.apache.lucene.index.Terms;
import org.apache.lucene.index.TermsEnum;
import org.apache.lucene.search.FuzzyTermsEnum;
import org.apache.lucene.util.BytesRef;

/**
 * Makes a question into what the engine looks for. What a document is worth depends on where a word
 * stands (what was seen counts most, then names of parts, notes, facts) and on how sure its meaning
 * is: the very term, the word alone, a weak name, a word one letter off.
 */
final class Matching {

  private static final List<String> CORE =
      List.of(Documents.SEEN, Documents.PART_NAMES, Documents.NOTES, Documents.FACTS);

  // How much a place is worth. Each is clearly more than the next, so that place goes before all.
  private static final float[] WORTH = {8f, 5f, 3f, 2f};
  private static final float WORTH_AROUND = 0.5f;

  // How sure a match is.
  private static final float TERM = 1f;
  private static final float WORD = 1f;
  private static final float WORD_OF_TERM = 0.6f;
  private static final float WEAK = 0.6f;
  private static final float UNFINISHED = 0.6f;
  private static final float OTHER_FORM = 0.8f;
  private static final float ONE_OFF = 0.5f;
  private static final float WORDS_APART = 0.35f;

  /** A term of the trade is what a question is about; other words say more of it. */
  private static final float MATTER_OF_QUESTION = 1.3f;

  private static final int MOST_VARIANTS = 16;

  private static final int MOST_SHOWN = 6;
  private static final int MOST_LOOKED_AT = 200;

  /** Shortest word that a one-letter-off word of the index may have. */
  private static final int SHORTEST_VARIANT = 4;

  /** What is known of a word's end. */
  enum Last {
    /** It is whole. */
    FINISHED,
    /** It is being typed. */
    UNFINISHED,
    /** It is tried as a beginning if nobody has written it. */
    PERHAPS
  }

  private final Vocabulary vocabulary;
  private final Trade trade;
  private final IndexReader reader;
  private final List<Wanted.Unit> units = new ArrayList<>();
  private final Set<String> remarks = new LinkedHashSet<>();

  Matching(Question question, Last last, Vocabulary vocabulary, Trade trade, IndexReader reader)
      throws IOException {
    this.vocabulary = vocabulary;
    this.trade = trade;
    this.reader = reader;
    for (int i = 0; i < question.units().size(); i++) {
      Last here = i == question.units().size() - 1 ? last : Last.PERHAPS;
      units.add(ready(question.units().get(i), here));
    }
  }

  /** How many units there are. */
  int size() {
    return units.size();
  }

  /** Whether some units may be left out if nothing has them all. */
  boolean canRelax() {
    return units.size() > 1 && units.stream().anyMatch(u -> !u.must());
  }

  /** What the index is to be asked for. */
  Wanted wanted() {
    return new Wanted(List.copyOf(units));
  }

  /**
   * What it was read as, in a sentence.
   *
   * @param relaxed whether units had to be left out
   */
  String searchedFor(boolean relaxed) {
    Sentences s = Sentences.in(Matching.class);
    String list = units.stream().map(Wanted.Unit::shown).collect(Collectors.joining(" + "));
    String all = relaxed ? s.say("searched.most", list) : list;
    return remarks.isEmpty() ? all : all + ". " + String.join(" ", remarks);
  }

  // ---- units ----

  private Wanted.Unit ready(Question.Unit unit, Last last) throws IOException {
    if (unit instanceof Question.Quoted q) {
      return quoted(q);
    }
    if (unit instanceof Question.Named n) {
      return named(n, last == Last.UNFINISHED);
    }
    if (unit instanceof Question.Begun b) {
      return begun(b);
    }
    return plain((Question.Plain) unit, last);
  }

  private Wanted.Unit quoted(Question.Quoted q) {
    Alternatives a = new Alternatives();
    List<String> norms = q.words().stream().map(Word::norm).toList();
    a.addPhrase(norms, TERM);
    if (norms.size() > 1) {
      a.addTerm(Tokens.together(q.words()), TERM);
    }
    return a.ready(q.typed(), norms.subList(0, 1), 1).asMust();
  }

  private Wanted.Unit named(Question.Named n, boolean unfinished) throws IOException {
    Alternatives a = new Alternatives();
    List<String> terms = new ArrayList<>();
    float sure = n.span().corrected() ? ONE_OFF : TERM;
    for (Vocabulary.Meaning m : n.span().meanings()) {
      String id = m.concept().id();
      a.addTerm(WordStream.sign(id, false), sure);
      a.addTerm(WordStream.sign(id, true), sure * WEAK);
      terms.add(WordStream.sign(id, false));
      terms.add(WordStream.sign(id, true));
      for (String near : vocabulary.near(id)) {
        a.add(new Wanted.Term(Documents.PART_NAMES, WordStream.sign(near, false)), sure * WEAK);
      }
    }
    String together = Tokens.together(n.words());
    a.addTerm(together, n.span().corrected() ? WORD : WORD_OF_TERM);
    terms.add(together);
    if (n.words().size() > 1) {
      a.addApart(n.words(), false);
    } else if (!n.span().corrected()) {
      for (String form : forms(together)) {
        a.addTerm(form, WORD_OF_TERM * OTHER_FORM);
        terms.add(form);
      }
    }
    if (unfinished) {
      begin(a, n.words(), vocabulary.beginning(n.words()), terms);
    }
    List<Vocabulary.Concept> concepts =
        n.span().meanings().stream().map(Vocabulary.Meaning::concept).distinct().toList();
    return a.ready(shown(n.typed(), concepts), terms, MATTER_OF_QUESTION);
  }

  private Wanted.Unit begun(Question.Begun b) throws IOException {
    Alternatives a = new Alternatives();
    List<String> terms = new ArrayList<>();
    a.addTerm(Tokens.together(b.words()), WORD_OF_TERM);
    begin(a, b.words(), b.concepts(), terms);
    return a.ready(unfinishedShown(b.typed(), b.concepts(), List.of()), terms, MATTER_OF_QUESTION);
  }

  /** Adds what the words may become when they are typed to the end. */
  private void begin(
      Alternatives a, List<Word> words, List<Vocabulary.Concept> concepts, List<String> terms)
      throws IOException {
    for (Vocabulary.Concept c : concepts) {
      a.addTerm(WordStream.sign(c.id(), false), UNFINISHED);
      terms.add(WordStream.sign(c.id(), false));
    }
    if (words.size() > 1) {
      a.addApart(words, true);
    } else {
      a.addPrefix(words.get(0).norm(), UNFINISHED);
    }
  }

  private Wanted.Unit plain(Question.Plain p, Last last) throws IOException {
    Alternatives a = new Alternatives();
    List<String> terms = new ArrayList<>();
    terms.add(p.together());
    a.addTerm(p.together(), WORD);
    Word only = p.words().size() == 1 ? p.words().get(0) : null;
    if (only == null) {
      boolean numbers = p.words().stream().allMatch(Word::isNumber);
      if (!p.measure() && !numbers) {
        a.addPhrase(p.words().stream().map(Word::norm).toList(), WORD);
      }
      return a.ready(p.typed(), terms, 1);
    }
    String norm = only.norm();
    trade.ambiguity(only.raw()).ifPresent(remarks::add);
    Set<String> forms = forms(norm);
    boolean known = vocabulary.isNameWord(norm) || isInIndex(norm) || !forms.isEmpty();
    Set<String> variants = new LinkedHashSet<>();
    String corrected = vocabulary.correction(norm);
    if (corrected != null) {
      variants.add(corrected);
    }
    if (!known && norm.length() >= Vocabulary.FUZZY_FROM) {
      variants.addAll(oneOff(norm));
    }
    if (!known && variants.isEmpty() && norm.startsWith("un") && norm.length() > 5) {
      variants.addAll(withoutUn(norm.substring(2))); // "unlabeled": texts say "not labeled"
    }
    for (String v : variants) {
      a.addTerm(v, ONE_OFF);
      terms.add(v);
    }
    for (String form : forms) {
      a.addTerm(form, OTHER_FORM);
      terms.add(form);
    }
    boolean unfinished = last == Last.UNFINISHED;
    boolean tooShort = norm.length() < (unfinished ? 2 : 3);
    boolean open = !tooShort && !only.isNumber() && (unfinished || last == Last.PERHAPS && !known);
    List<Vocabulary.Concept> concepts = List.of();
    List<String> beginnings = List.of();
    if (open) {
      concepts = norm.length() < 3 ? List.of() : vocabulary.beginning(p.words());
      beginnings = beginnings(norm);
      begin(a, p.words(), concepts, terms);
    }
    boolean becomes = !concepts.isEmpty() || !beginnings.isEmpty();
    String shown;
    if (open && becomes) {
      shown = unfinishedShown(p.typed(), concepts, beginnings);
    } else if (!variants.isEmpty()) {
      shown = p.typed() + " → " + String.join(", ", variants);
    } else if (!forms.isEmpty()) {
      shown = p.typed() + " (" + String.join(", ", forms) + ")";
    } else if (!known) {
      shown = Sentences.in(Matching.class).say("searched.nowhere", p.typed());
    } else {
      shown = p.typed();
    }
    return a.ready(shown, terms, 1);
  }

  // ---- showing ----

  private String shown(String typed, List<Vocabulary.Concept> concepts) {
    if (concepts.size() > 1) {
      String or = Sentences.in(Matching.class).say("searched.or");
      return typed
          + " → "
          + concepts.stream().map(Vocabulary.Concept::term).collect(Collectors.joining(or));
    }
    Vocabulary.Concept c = concepts.get(0);
    boolean isName = c.names().stream().anyMatch(typed::equalsIgnoreCase);
    if (!isName) {
      trade.ambiguity(typed).ifPresent(remarks::add);
    }
    return c.names().size() == 1 && isName ? typed : typed + " → " + String.join(", ", c.names());
  }

  private static String unfinishedShown(
      String typed, List<Vocabulary.Concept> concepts, List<String> beginnings) {
    Set<String> all = new LinkedHashSet<>();
    concepts.forEach(c -> all.add(c.term()));
    all.addAll(beginnings);
    String list = all.stream().limit(MOST_SHOWN).collect(Collectors.joining(", "));
    String more = all.size() > MOST_SHOWN ? " …" : "";
    return list.isEmpty() ? typed + "…" : typed + "… → " + list + more;
  }

  // ---- what the index knows ----

  private boolean isInIndex(String term) throws IOException {
    for (String field : CORE) {
      if (reader.docFreq(new Term(field, term)) > 0) {
        return true;
      }
    }
    return reader.docFreq(new Term(Documents.AROUND, term)) > 0;
  }

  /** Words of the index one letter off; never abbreviations, which are no words to guess at. */
  private Set<String> oneOff(String norm) throws IOException {
    Set<String> out = new LinkedHashSet<>();
    for (String field : CORE) {
      Terms terms = MultiTerms.getTerms(reader, field);
      if (terms == null) {
        continue;
      }
      FuzzyTermsEnum e = new FuzzyTermsEnum(terms, new Term(field, norm), 1, 0, true);
      for (BytesRef t = e.next(); t != null && out.size() < MOST_VARIANTS; t = e.next()) {
        String word = t.utf8ToString();
        boolean letters = word.chars().allMatch(Character::isLetter);
        boolean shortForm = vocabulary.tokens().isShortForm(word);
        if (letters && !shortForm && word.length() >= SHORTEST_VARIANT) {
          out.add(word);
        }
      }
    }
    return out;
  }

  /** Other forms of a word that occur in the index: cracked and crack for cracking. */
  private Set<String> forms(String norm) throws IOException {
    Set<String> out = new LinkedHashSet<>();
    if (!vocabulary.hasFamily(norm) || norm.length() < SHORTEST_VARIANT) {
      return out;
    }
    String stem = Vocabulary.stem(norm);
    // The stemmer makes y into i: "rusty" has the stem "rusti".
    String prefix = stem.endsWith("i") ? stem.substring(0, stem.length() - 1) : stem;
    for (String form : beginningWith(prefix, MOST_LOOKED_AT)) {
      if (out.size() < MOST_VARIANTS && vocabulary.sameFamily(norm, form)) {
        out.add(form);
      }
    }
    for (String form : vocabulary.irregularForms(norm)) {
      if (isInIndex(form)) {
        out.add(form);
      }
    }
    out.remove(norm);
    return out;
  }

  private Set<String> withoutUn(String norm) throws IOException {
    Set<String> out = forms(norm);
    if (isInIndex(norm)) {
      out.add(norm);
    }
    return out;
  }

  /** Some words of the index that begin so, to show what was searched for. */
  private List<String> beginnings(String norm) throws IOException {
    return beginningWith(norm, MOST_SHOWN + 1);
  }

  private List<String> beginningWith(String norm, int most) throws IOException {
    Set<String> out = new LinkedHashSet<>();
    for (String field : CORE) {
      Terms terms = MultiTerms.getTerms(reader, field);
      if (terms == null) {
        continue;
      }
      TermsEnum e = terms.iterator();
      BytesRef prefix = new BytesRef(norm);
      if (e.seekCeil(prefix) == TermsEnum.SeekStatus.END) {
        continue;
      }
      for (BytesRef t = e.term(); t != null && out.size() < most; t = e.next()) {
        String word = t.utf8ToString();
        if (!word.startsWith(norm)) {
          break;
        }
        out.add(word);
      }
    }
    return List.copyOf(out);
  }

  // ---- building blocks ----

  /** The ways in which a unit may be met. */
  private final class Alternatives {
    private final List<Wanted.Way> own = new ArrayList<>();
    private final List<Wanted.Way> around = new ArrayList<>();
    private int frequency;

    void add(Wanted.Term t, float sure) {
      own.add(new Wanted.Way(t, sure * WORTH[CORE.indexOf(t.field())]));
    }

    void addTerm(String term, float sure) {
      int here = 0;
      for (String field : CORE) {
        int n = frequency(new Term(field, term));
        if (n > 0) {
          add(new Wanted.Term(field, term), sure);
        }
        here = Math.max(here, n);
      }
      frequency += here;
      around.add(new Wanted.Way(new Wanted.Term(Documents.AROUND, term), sure * WORTH_AROUND));
    }

    void addPhrase(List<String> terms, float sure) {
      if (terms.size() == 1) {
        addTerm(terms.get(0), sure);
        return;
      }
      for (int i = 0; i < CORE.size(); i++) {
        own.add(new Wanted.Way(new Wanted.Together(CORE.get(i), terms), sure * WORTH[i]));
      }
      around.add(new Wanted.Way(new Wanted.Together(Documents.AROUND, terms), sure * WORTH_AROUND));
    }

    void addPrefix(String prefix, float sure) {
      for (int i = 0; i < CORE.size(); i++) {
        own.add(new Wanted.Way(new Wanted.Beginning(CORE.get(i), prefix), sure * WORTH[i]));
      }
      around.add(
          new Wanted.Way(new Wanted.Beginning(Documents.AROUND, prefix), sure * WORTH_AROUND));
    }

    /** All words, but not as one term: "cover" and "panel" for "panel cover". */
    void addApart(List<Word> words, boolean unfinished) {
      List<List<Wanted.How>> all = new ArrayList<>();
      for (int i = 0; i < words.size(); i++) {
        String norm = words.get(i).norm();
        boolean open = unfinished && i == words.size() - 1;
        if (open) {
          all.add(CORE.stream().map(f -> (Wanted.How) new Wanted.Beginning(f, norm)).toList());
        } else if (!vocabulary.isFunctionWord(norm)) {
          all.add(CORE.stream().map(f -> (Wanted.How) new Wanted.Term(f, norm)).toList());
        }
      }
      own.add(new Wanted.Way(new Wanted.Each(all), WORDS_APART * WORTH[2]));
    }

    private int frequency(Term t) {
      try {
        return reader.docFreq(t);
      } catch (IOException e) {
        throw new java.io.UncheckedIOException(e);
      }
    }

    Wanted.Unit ready(String shown, List<String> terms, float matter) {
      double rare =
          Math.log((reader.numDocs() + 1.0) / (Math.min(frequency, reader.numDocs()) + 1));
      return new Wanted.Unit(
          List.copyOf(own),
          List.copyOf(around),
          List.copyOf(terms),
          false,
          shown,
          matter * (float) (1 + 0.1 * rare));
    }
  }
}
