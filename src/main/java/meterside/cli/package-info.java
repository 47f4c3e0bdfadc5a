/**
 * The command line: a thin layer of picocli commands over the use cases.
 *
 * <p>Every command is a {@link meterside.cli.Command} that hands back an {@link
 * meterside.cli.Outcome}: lines for people, one JSON object for programs ({@code --json}), and an
 * exit code. To add a command: write one, add it to {@link meterside.cli.Cli}, and describe it in
 * {@code docs/command-line.md}.
 */
package meterside.cli;
