package meterside.job;

/**
 * That a finding can't wait, and who was told.
 *
 * @param told who was told, or null if nobody yet
 * @param how how ("in person", "by phone"), or null
 * @param when when, as the inspector wrote it, or null
 */
public record Urgent(String told, String how, String when) {}
