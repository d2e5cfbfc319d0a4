package org.borewarden.agent.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.borewarden.agent.config.SiteConfig;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.report.Gathering;
import org.borewarden.agent.report.ReportException;
import org.borewarden.agent.report.ReportFiles;
import org.borewarden.agent.report.Texts;
import org.borewarden.agent.report.Wanted;
import org.borewarden.rules.measure.Unit;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code report}: the report of a shift, or the measurement record of one part. */
@Command(
    name = "report",
    description = {
      "Writes the report of a shift, or the record of a part, as a page, a PDF, a CSV and a workbook.",
      "The record of a part needs --serial. Read from the journal; the agent may be running."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:written; the files are printed",
      "1:nothing to report, or the journal is not as it was written, which the report then says",
      "2:the command line or agent.yaml is wrong",
      "3:the journal cannot be read, or a file cannot be written"
    },
    mixinStandardHelpOptions = true)
public final class ReportCommand implements Callable<Integer> {
  private static final int FAILED = 3;

  /** Behind every moment that a journal can hold. */
  private static final Instant ALWAYS = Instant.parse("9999-01-01T00:00:00Z");

  private final Teller teller;

  @Mixin private JournalPlace place = new JournalPlace();

  @Option(
      names = "--shift",
      paramLabel = "NAME",
      description = "A shift of the site's calendar (agent.yaml), on the day that --day names.")
  private Optional<String> shift = Optional.empty();

  @Option(
      names = "--day",
      paramLabel = "DAY",
      description = "A day, such as 2026-03-01 (default: today).")
  private Optional<LocalDate> day = Optional.empty();

  @Option(
      names = "--from",
      paramLabel = "TIME",
      description = "Instead of a day: from when on, such as 2026-03-01T06:00.")
  private Optional<LocalDateTime> from = Optional.empty();

  @Option(names = "--to", paramLabel = "TIME", description = "Up to when, with --from.")
  private Optional<LocalDateTime> to = Optional.empty();

  @Option(
      names = "--serial",
      paramLabel = "SERIAL",
      description =
          "The measurement record of the part with this serial, whenever it was measured.")
  private Optional<String> serial = Optional.empty();

  @Option(names = "--feature", paramLabel = "FEATURE", description = "This feature only.")
  private Optional<String> feature = Optional.empty();

  @Option(names = "--part", paramLabel = "NUMBER", description = "This part number only.")
  private Optional<String> part = Optional.empty();

  @Option(
      names = "--zone",
      paramLabel = "ZONE",
      description = "The time zone, such as Europe/Berlin (default: the site's, else UTC).")
  private Optional<ZoneId> zone = Optional.empty();

  @Option(
      names = "--unit",
      paramLabel = "UNIT",
      description = "mm, um, in or uin (default: each gauge's own).")
  private Optional<String> unit = Optional.empty();

  @Option(
      names = "--language",
      paramLabel = "LANGUAGE",
      defaultValue = "en",
      description = "en or de (default: ${DEFAULT-VALUE}).")
  private String language = "en";

  @Option(
      names = "--decimal",
      paramLabel = "MARK",
      defaultValue = "point",
      description =
          "point or comma (default: ${DEFAULT-VALUE}); with comma, CSV fields are parted by"
              + " semicolons.")
  private String decimal = "point";

  @Option(
      names = {"-o", "--output"},
      paramLabel = "FOLDER",
      defaultValue = ".",
      description =
          "The folder of the files (default: ${DEFAULT-VALUE}), made where it is missing.")
  private Path output = Path.of(".");

  @Spec private CommandSpec spec = CommandSpec.create();

  /**
   * For picocli.
   *
   * @param teller tells the journal again
   */
  public ReportCommand(Teller teller) {
    this.teller = teller;
  }

  /** Tells a journal from its beginning. */
  @FunctionalInterface
  public interface Teller {
    /**
     * Tells it.
     *
     * @param journal the journal
     * @param hears hears each event with what followed
     * @return where it is not as it was written, in words
     * @throws JournalException when it cannot be read
     */
    Optional<String> tell(JournalView journal, Gathering hears) throws JournalException;
  }

  @Override
  public Integer call() {
    PrintWriter err = spec.commandLine().getErr();
    oneOf("--language", language, Texts.LANGUAGES);
    oneOf("--decimal", decimal, List.of("point", "comma"));
    Optional<SiteConfig> site = place.site(err);
    Optional<Path> folder = site.flatMap(known -> place.journalFolder(err));
    if (folder.isEmpty()) {
      return CommandLine.ExitCode.USAGE;
    }
    Wanted wanted = wanted(site.get());
    Gathering gathering = new Gathering(wanted);
    try (JournalView journal = JournalReader.openFolder(folder.get())) {
      Optional<String> not = teller.tell(journal, gathering);
      gathering.check();
      List<Path> written =
          ReportFiles.write(
              gathering, Texts.in(language), journal.journalId(), not, output, name(wanted));
      written.forEach(file -> spec.commandLine().getOut().println("written: " + file));
      not.ifPresent(first -> err.println("NOT as written, " + first));
      return not.isEmpty() ? CommandLine.ExitCode.OK : CommandLine.ExitCode.SOFTWARE;
    } catch (ReportException e) {
      err.println(e.getMessage());
      return CommandLine.ExitCode.SOFTWARE;
    } catch (JournalException e) {
      err.println(e.getMessage());
      return FAILED;
    } catch (IOException e) {
      err.println("cannot write the report into " + output + ": " + e);
      return FAILED;
    }
  }

  private Wanted wanted(SiteConfig site) {
    ZoneId clock = zone.orElse(site.zone());
    Span span = serial.isPresent() ? new Span(Instant.EPOCH, ALWAYS, "") : span(site, clock);
    if (!span.from().isBefore(span.to())) {
      throw wrong("--to: expected a time behind --from, found " + to.orElseThrow());
    }
    return new Wanted(
        span.from(),
        span.to(),
        span.words(),
        clock,
        unit.map(this::unit),
        decimal.equals("comma"),
        feature,
        part,
        serial);
  }

  /**
   * A span.
   *
   * @param from its first moment
   * @param to the first one behind it
   * @param words what it is called
   */
  private record Span(Instant from, Instant to, String words) {}

  private Span span(SiteConfig site, ZoneId clock) {
    if (from.isPresent() != to.isPresent()) {
      throw wrong("expected --from and --to together, found one of them");
    }
    if (from.isPresent()) {
      if (shift.isPresent() || day.isPresent()) {
        throw wrong("expected --from and --to, or --day and --shift, found both");
      }
      Instant begins = from.get().atZone(clock).toInstant();
      Instant ends = to.orElseThrow().atZone(clock).toInstant();
      return new Span(begins, ends, from.get() + " - " + to.get());
    }
    LocalDate of = day.orElseGet(() -> LocalDate.now(clock));
    if (shift.isEmpty()) {
      Instant begins = of.atStartOfDay(clock).toInstant();
      return new Span(begins, of.plusDays(1).atStartOfDay(clock).toInstant(), of.toString());
    }
    SiteConfig.Shift named = site.shift(shift.get()).orElseThrow(() -> noShift(site));
    return new Span(named.begins(of, clock), named.ends(of, clock), named.name() + " " + of);
  }

  private ParameterException noShift(SiteConfig site) {
    List<String> names = site.shifts().stream().map(SiteConfig.Shift::name).toList();
    return wrong(
        names.isEmpty()
            ? "--shift: expected shifts in agent.yaml (site), found none"
            : "--shift: expected one of "
                + String.join(", ", names)
                + ", found "
                + shift.orElseThrow());
  }

  private Unit unit(String symbol) {
    return Unit.ofSymbol(symbol)
        .orElseThrow(() -> wrong("--unit: expected mm, um, in or uin, found " + symbol));
  }

  private void oneOf(String option, String found, List<String> choices) {
    if (!choices.contains(found)) {
      throw wrong(option + ": expected " + String.join(" or ", choices) + ", found " + found);
    }
  }

  private ParameterException wrong(String words) {
    return new ParameterException(spec.commandLine(), words);
  }

  private static String name(Wanted wanted) {
    return ReportFiles.name(
        wanted.serial().map(of -> "record-" + of).orElse("report-" + wanted.span()));
  }
}
