/**
 * The report: what leaves the house.
 *
 * <p>{@link meterside.report.ReportWriter} is the way in. {@code Selection} chooses the photos,
 * {@code Content} gathers everything that is said as one value, and the rest write that value down:
 *
 * <ul>
 *   <li>{@code Page} is the one template; it writes {@code report.html} (one file, offline, no
 *       script) and what {@code PdfPrinter} turns into {@code report.pdf} (tagged, PDF/UA-1 and
 *       PDF/A-2a).
 *   <li>{@code Pictures} turns each photo upright, burns its redactions in, writes the marked photo
 *       and keeps a smaller one for the pages, over which the callouts lie as a drawing.
 *   <li>{@code Regions} describes each marked photo within it (IPTC Photo Metadata in XMP).
 *   <li>{@code Annotations} writes {@code annotations.jsonld} (W3C Web Annotation Data Model).
 *   <li>{@code Tables} writes the CSV files (RFC 4180).
 * </ul>
 *
 * <p>Privacy is the default. Pictures are encoded anew from pixels, so no byte of an original's
 * metadata can be in them, and redactions are painted into the pixels before anything else is done
 * with them. Positions are delivered only if {@link meterside.report.ReportOptions#keepLocation()}
 * says so.
 *
 * <p>A report is written beside its place and moved into it when all of it is done, so a folder
 * holds a whole report or none.
 */
package meterside.report;
