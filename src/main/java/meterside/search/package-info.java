/**
 * Past jobs: the archive's memory.
 *
 * <p>The port is {@link meterside.search.PastJobs} with the values {@link meterside.search.Ask},
 * {@link meterside.search.Found} and {@link meterside.search.Hit}; no engine shows through it. The
 * engine behind it is Lucene ({@link meterside.search.LucenePastJobs}).
 *
 * <p><b>How words are read.</b> Questions and texts are cut and read by the same code of ours, so
 * that the engine only ever compares equal words: {@code Tokens} makes case, hyphens, plurals and
 * units alike; {@code Vocabulary} recognizes the trade's terms, of one word or several, with their
 * synonyms, abbreviations and slips. In the index a recognized term is a sign that stands at its
 * first word ({@code WordStream}), so "meter can" in a question meets "meter socket" in a text at
 * the cost of one look-up. {@code Question} is what was typed; {@code Matching} weighs where and
 * how surely it was met.
 *
 * <p><b>What a question asks.</b> All of its words, in any order; if nothing has them all, most of
 * them, and {@link meterside.search.Found#searchedFor} says so. Words in quotes must stand together
 * and are never left out. A word is met in the document's own texts; with several words, one may
 * also be met in what surrounds it (titles of its stops, the house). A word that nobody has written
 * is tried as a beginning and with one letter off (from five letters). Other forms of a word
 * ("crack" for "cracked") are found behind the word itself.
 *
 * <p><b>Order.</b> Where a word stands counts most: what was seen, then names of parts, then notes,
 * then facts; the very term before a look-alike; neighbours before words far apart; then the newer
 * job. Photos that were set aside and notes to self come after everything else. Withdrawn findings
 * are not found.
 *
 * <p>To take another thing into search, give it a document in {@code Documents} and raise the
 * schema in {@code LucenePastJobs}: every index then builds itself anew.
 */
package meterside.search;
