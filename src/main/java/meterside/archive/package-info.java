/**
 * The archive: a folder of plain files that survives crashes, full disks, a new laptop and five
 * years, and can show that nothing in it was changed.
 *
 * <pre>
 * ARCHIVE/
 *   archive.json                format version, archive id, when it was made
 *   jobs/NAME/
 *     journal.jsonl             the edits                        (truth)
 *     photos/SHA256.EXT         the camera's bytes, read-only    (truth)
 *     job.lock                  held by the one writer
 *     derived/                  previews, thumbnails, looks: may be deleted at any time
 *     reports/0001/             what was issued, as it was issued
 *   index/                      the search index: may be deleted at any time
 * </pre>
 *
 * <p>Where to start reading: {@link meterside.archive.Journal} has the form of a journal's line,
 * its checksum and the rule for a torn tail. {@link meterside.archive.EditCodec} has the names of
 * the edits. {@link meterside.archive.JournalWriter} states what an acknowledged edit is worth,
 * {@link meterside.archive.Originals} the same for a photo. {@link meterside.archive.Verify} checks
 * all of it. {@link meterside.archive.FileOps} is every step that is done to a file that must last,
 * so that a test can put a failing disk in its place.
 *
 * <p>{@link meterside.archive.SecondCopy} keeps all of it again on another disk.
 *
 * <p>Rules: journals are only appended to, never rewritten. Only the holder of {@code job.lock}
 * appends, truncates or clears up, and nobody else opens that file. Readers need no lock. What goes
 * wrong is an {@link meterside.archive.ArchiveException}: a sentence for the user and an exit code.
 */
package meterside.archive;
