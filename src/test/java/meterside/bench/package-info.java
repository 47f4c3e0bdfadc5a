/**
 * Benchmarks of the whole program against a baseline that is measured in the same run. They print
 * ratios and fail for nothing but wrong results; {@code docs/performance.md} holds the figures.
 */
package meterside.bench;
