package meterside.markup;

/**
 * What a number on the photo means: for the list beside the photo, for a screen reader, and for
 * print where plates carry only numbers ({@link Drawing#needsLegend}). Texts are as the inspector
 * wrote them, cleaned but not shortened.
 *
 * @param number number on the photo, from 1
 * @param markId number of the mark in the job
 * @param term the part's term; empty if an outline names no part
 * @param finding number of the finding it is tied to, or null
 * @param note second line: the mark's note, or else what was seen; null if there is neither
 */
public record Legend(int number, int markId, String term, Integer finding, String note) {}
