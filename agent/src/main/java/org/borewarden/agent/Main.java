package org.borewarden.agent;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicBoolean;
import org.borewarden.agent.cli.AcknowledgeCommand;
import org.borewarden.agent.cli.AdoptJournalCommand;
import org.borewarden.agent.cli.AskCommand;
import org.borewarden.agent.cli.AttributeCommand;
import org.borewarden.agent.cli.BackInServiceCommand;
import org.borewarden.agent.cli.BackupCommand;
import org.borewarden.agent.cli.BypassCommand;
import org.borewarden.agent.cli.CellTestCommand;
import org.borewarden.agent.cli.ChallengeCommand;
import org.borewarden.agent.cli.CheckCommand;
import org.borewarden.agent.cli.CloseBatchCommand;
import org.borewarden.agent.cli.ConcessionCommand;
import org.borewarden.agent.cli.ConfirmCommand;
import org.borewarden.agent.cli.CorrectSerialCommand;
import org.borewarden.agent.cli.DiscardCommand;
import org.borewarden.agent.cli.DrainCommand;
import org.borewarden.agent.cli.EndBypassCommand;
import org.borewarden.agent.cli.FirstOffCommand;
import org.borewarden.agent.cli.GaugeDisturbedCommand;
import org.borewarden.agent.cli.HandOverCommand;
import org.borewarden.agent.cli.InitCommand;
import org.borewarden.agent.cli.ListenCommand;
import org.borewarden.agent.cli.MasteredCommand;
import org.borewarden.agent.cli.MeasureAgainCommand;
import org.borewarden.agent.cli.NextPartCommand;
import org.borewarden.agent.cli.OutOfServiceCommand;
import org.borewarden.agent.cli.PortsCommand;
import org.borewarden.agent.cli.ReadFiles;
import org.borewarden.agent.cli.ReleaseCommand;
import org.borewarden.agent.cli.ReloadCommand;
import org.borewarden.agent.cli.ReportCommand;
import org.borewarden.agent.cli.RestoreCommand;
import org.borewarden.agent.cli.ReworkCommand;
import org.borewarden.agent.cli.RingCheckCommand;
import org.borewarden.agent.cli.RingRecallCommand;
import org.borewarden.agent.cli.RunCommand;
import org.borewarden.agent.cli.SalvageCommand;
import org.borewarden.agent.cli.SendAgainCommand;
import org.borewarden.agent.cli.ShelveCommand;
import org.borewarden.agent.cli.SkipCommand;
import org.borewarden.agent.cli.StatusCommand;
import org.borewarden.agent.cli.StepBackCommand;
import org.borewarden.agent.cli.StepForwardCommand;
import org.borewarden.agent.cli.SupportCommand;
import org.borewarden.agent.cli.TestHoldCommand;
import org.borewarden.agent.cli.ToolChangedCommand;
import org.borewarden.agent.cli.TypedValues;
import org.borewarden.agent.cli.UnshelveCommand;
import org.borewarden.agent.cli.VerifyCommand;
import org.borewarden.agent.cli.WithdrawConcessionCommand;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.loop.Rejudge;
import org.borewarden.agent.observe.UnblockedAppender;
import org.borewarden.agent.report.Gathering;
import org.borewarden.agent.report.Heard;
import org.borewarden.agent.service.HangupSignal;
import org.borewarden.agent.service.ServiceManager;
import org.borewarden.agent.source.serial.SerialLibrary;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.AutoComplete;
import picocli.CommandLine;
import picocli.CommandLine.Command;

/** The program {@code borewarden}. */
public final class Main {
  private static final Logger LOG = LoggerFactory.getLogger("borewarden");

  private Main() {}

  /**
   * Runs one command and ends the process with its exit code.
   *
   * @param args the command line
   */
  public static void main(String[] args) {
    int exit = line().execute(args);
    UnblockedAppender.end();
    System.exit(exit);
  }

  /** The commands by their names. */
  static CommandLine line() {
    return TypedValues.of(commands());
  }

  private static CommandLine commands() {
    return new CommandLine(new Top())
        .addSubcommand(new RunCommand(Main::run))
        .addSubcommand(new InitCommand(typed()))
        .addSubcommand(new CheckCommand())
        .addSubcommand(new PortsCommand(GaugePorts::list))
        .addSubcommand(new ListenCommand(GaugePorts::open))
        .addSubcommand(new VerifyCommand(Main::judgeAgain))
        .addSubcommand(new RingRecallCommand(RingRecallReport::of))
        .addSubcommand(new ReportCommand(Main::retold))
        .addSubcommand(new SalvageCommand())
        .addSubcommand(new BackupCommand())
        .addSubcommand(new RestoreCommand())
        .addSubcommand(new SendAgainCommand())
        .addSubcommand(new AdoptJournalCommand())
        .addSubcommand(new ReloadCommand())
        .addSubcommand(new StatusCommand())
        .addSubcommand(new ReleaseCommand())
        .addSubcommand(new BypassCommand())
        .addSubcommand(new EndBypassCommand())
        .addSubcommand(new DrainCommand())
        .addSubcommand(new TestHoldCommand())
        .addSubcommand(new CellTestCommand())
        .addSubcommand(new ToolChangedCommand())
        .addSubcommand(new RingCheckCommand())
        .addSubcommand(new MasteredCommand())
        .addSubcommand(new GaugeDisturbedCommand())
        .addSubcommand(new MeasureAgainCommand())
        .addSubcommand(new NextPartCommand())
        .addSubcommand(new AttributeCommand())
        .addSubcommand(new SkipCommand())
        .addSubcommand(new WithdrawConcessionCommand())
        .addSubcommand(new CloseBatchCommand())
        .addSubcommand(new AskCommand())
        .addSubcommand(new StepForwardCommand())
        .addSubcommand(new StepBackCommand())
        .addSubcommand(new ReworkCommand())
        .addSubcommand(new ChallengeCommand())
        .addSubcommand(new FirstOffCommand())
        .addSubcommand(new CorrectSerialCommand())
        .addSubcommand(new ConcessionCommand())
        .addSubcommand(new HandOverCommand())
        .addSubcommand(new DiscardCommand())
        .addSubcommand(new ConfirmCommand())
        .addSubcommand(new AcknowledgeCommand())
        .addSubcommand(new ShelveCommand())
        .addSubcommand(new UnshelveCommand())
        .addSubcommand(new OutOfServiceCommand())
        .addSubcommand(new BackInServiceCommand())
        .addSubcommand(new SupportCommand())
        .addSubcommand(new AutoComplete.GenerateCompletion());
  }

  /** What a person types. */
  private static BufferedReader typed() {
    return new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
  }

  @Command(
      name = "borewarden",
      description =
          "Judges bores from gauge readings and withdraws a machine cell's run permit before they"
              + " run out of limit. Not a safety function.",
      versionProvider = Version.class,
      synopsisSubcommandLabel = "COMMAND",
      mixinStandardHelpOptions = true)
  private static final class Top {}

  private static VerifyCommand.Judged judgeAgain(JournalView journal) throws JournalException {
    Rejudge.Rejudged again = Rejudge.run(journal, revision -> RulesInForce.kept(journal, revision));
    String what =
        again.events()
            + " events from entry "
            + again.fromSeq()
            + " on judged again, "
            + again.decisions()
            + " decisions compared: ";
    return new VerifyCommand.Judged(
        again.first().isEmpty()
            ? List.of(what + "all as written")
            : List.of(what + again.differences() + " are NOT as written", again.first().get()),
        again.first().isEmpty());
  }

  /** Tells a journal again, and says where it is other than written. */
  static Optional<String> retold(JournalView journal, Gathering hears) throws JournalException {
    return Rejudge.run(
            journal,
            revision -> RulesInForce.kept(journal, revision),
            turn -> hears.hear(new Heard(turn.event(), turn.decisions(), turn.state())))
        .first();
  }

  private static void run(AgentConfig config, ReadFiles files) throws Exception {
    privateNativeFolder(config.data());
    CountDownLatch asked = new CountDownLatch(1);
    CountDownLatch ended = new CountDownLatch(1);
    AtomicBoolean inOrder = new AtomicBoolean();
    // Before the start, so that one who is stopped amid it ends in order as well.
    Runtime.getRuntime().addShutdownHook(new Thread(() -> stop(asked, ended, inOrder), "stop"));
    try {
      runUntil(asked, config, files);
      inOrder.set(true);
    } finally {
      ended.countDown();
    }
  }

  private static void stop(CountDownLatch asked, CountDownLatch ended, AtomicBoolean inOrder) {
    asked.countDown();
    try {
      ended.await();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    UnblockedAppender.end();
    if (inOrder.get()) {
      // Stopped on request is no failure, whatever signal asked for it.
      Runtime.getRuntime().halt(0);
    }
  }

  private static void runUntil(CountDownLatch asked, AgentConfig config, ReadFiles files)
      throws Exception {
    Wiring agent = Wiring.start(config, new RulesInForce(files));
    if (config.ports().stream().anyMatch(port -> port.link() instanceof PortConfig.Serial)) {
      LOG.debug("serial ports by the library {}", SerialLibrary.load());
      HangupSignal.backToDefault();
    }
    HangupSignal.does(agent::reloadRules);
    Optional<ServiceManager> manager =
        ServiceManager.of(System.getenv(), ProcessHandle.current().pid());
    manager.ifPresent(by -> by.ready(agent::turning));
    LOG.info("borewarden {} started as {}", Version.TEXT, config.agent());
    try {
      asked.await();
      LOG.info("stopping");
      manager.ifPresent(ServiceManager::stopping);
      agent.close();
      LOG.info("stopped");
    } finally {
      manager.ifPresent(ServiceManager::close);
    }
  }

  /**
   * Native libraries are unpacked where only the agent may write, unless the package ships them: a
   * shared temporary folder would let others plant code.
   */
  private static void privateNativeFolder(Path data) throws IOException {
    Path folder = Files.createDirectories(data.resolve("native"));
    System.setProperty("java.io.tmpdir", folder.toString());
    System.setProperty("org.sqlite.tmpdir", folder.toString());
    System.setProperty("jna.tmpdir", folder.toString());
  }
}
