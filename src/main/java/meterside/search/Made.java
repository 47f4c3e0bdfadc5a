package meterside.search;

import java.util.List;
import org.apache.lucene.document.Document;

/**
 * A job made ready for the index.
 *
 * @param job folder name
 * @param documents its documents, or null if it could not be read
 */
record Made(String job, List<Document> documents) {}
