package org.borewarden.agent;

import java.io.IOException;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.command.CommandName;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.local.LocalCommands;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.Asking;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.modbus.ModbusClientOutput;
import org.borewarden.agent.hold.modbus.ModbusOutput;
import org.borewarden.agent.hold.modbus.ModbusServerOutput;
import org.borewarden.agent.hold.modbus.Wires;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.loop.Inbox;
import org.borewarden.agent.loop.Loop;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Rehearsal;
import org.borewarden.agent.loop.Replay;
import org.borewarden.agent.observe.HealthServer;
import org.borewarden.agent.observe.KnownIds;
import org.borewarden.agent.observe.Metrics;
import org.borewarden.agent.observe.Sending;
import org.borewarden.agent.sheet.Sheet;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.agent.source.Sources;
import org.borewarden.rules.engine.Event;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The only place that names concrete adapters: starts them in the order journal, replay, loop, hold
 * outputs, publishers, commands, sources, and stops them in reverse.
 */
final class Wiring implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(Wiring.class);
  private static final Duration LOOP_END = Duration.ofSeconds(2);
  private static final Duration FIRST_SYNC = Duration.ofSeconds(10);

  /** A loop that has not turned for so long stands still, as /healthz has it. */
  private static final Duration STILL = Duration.ofSeconds(2);

  private static final Duration BEAT = Duration.ofMillis(250);

  private final WallClock wall = Instant::now;
  private final MonotonicClock monotonic = System::nanoTime;
  private final Deque<AutoCloseable> toClose = new ArrayDeque<>();
  private final Inbox inbox = new Inbox();
  private final PartGates gates = new PartGates(inbox);
  private final AgentConfig config;
  private final Metrics metrics;
  private final RulesInForce rules;

  private final Duration beat;
  private volatile Optional<Loop> running = Optional.empty();
  private volatile Optional<RulesReload> reload = Optional.empty();

  private Wiring(AgentConfig config, RulesInForce rules, Duration beat) {
    this.beat = beat;
    this.config = config;
    this.rules = rules;
    Optional<Sending> sending =
        config.otlp().map(to -> new Sending(to.url(), to.every(), config.agent(), Version.TEXT));
    this.metrics = new Metrics(known(config), monotonic, sending);
  }

  /**
   * Starts an agent.
   *
   * @param config what agent.yaml says
   * @param rules what came of reading the rules file
   * @return the running agent
   * @throws JournalException when the journal cannot be opened or read
   * @throws IOException when an address cannot be bound or a key cannot be read
   * @throws InterruptedException when the caller is asked to stop
   */
  static Wiring start(AgentConfig config, RulesInForce rules)
      throws JournalException, IOException, InterruptedException {
    return start(config, rules, BEAT);
  }

  /** The same with another beat than that of docs/hold.md, for what would take minutes by it. */
  static Wiring start(AgentConfig config, RulesInForce rules, Duration beat)
      throws JournalException, IOException, InterruptedException {
    Wiring wiring = new Wiring(config, rules, beat);
    try {
      wiring.start();
      return wiring;
    } catch (JournalException | IOException | InterruptedException | RuntimeException e) {
      wiring.close();
      throw e;
    }
  }

  private void start() throws JournalException, IOException, InterruptedException {
    Instant at = wall.now();
    JournalStore journal =
        JournalStore.open(config.data(), config.journal(), Version.TEXT, wall, monotonic);
    toClose.push(journal);
    journal
        .opened()
        .setAside()
        .ifPresent(
            aside ->
                LOG.error(
                    "the journal was damaged ({}) and set aside in {}",
                    aside.why(),
                    aside.folder()));
    Replay.Replayed replayed;
    java.util.Map<String, Long> lastSeqPerTopic;
    try (JournalView view = journal.reader()) {
      replayed = Replay.fold(view, revision -> RulesInForce.kept(view, revision));
      lastSeqPerTopic = view.lastSeqPerTopic();
    }
    for (String cell : replayed.state().cellIds()) {
      replayed.state().cellView(cell, at).ifPresent(view -> metrics.holds().restored(view.hold()));
    }
    rules.keep(journal);
    if (config.sheet().isPresent()) {
      Sheet sheet = new Sheet(config.sheet().get(), journal.reader(), journal.opened().ids());
      sheet.start();
      toClose.push(sheet);
    }
    // A journal that was put away may have held a hold that nobody can prove gone.
    boolean clean =
        replayed.clean()
            && journal.opened().setAside().isEmpty()
            && journal.opened().toAdopt().isEmpty();
    LOG.info(
        "journal {} replayed from entry {} to {}",
        journal.opened().id(),
        replayed.snapshotSeq() + 1,
        replayed.lastSeq());

    Optional<BrokerSide> broker =
        config.broker().isPresent()
            ? Optional.of(
                new BrokerSide(
                    config,
                    config.broker().get(),
                    journal.opened().ids(),
                    journal.outbox(),
                    inbox,
                    metrics,
                    wall,
                    monotonic))
            : Optional.empty();
    List<ModbusOutput> registers = registers();
    List<HoldOutput> outputs = new ArrayList<>(registers);
    broker.ifPresent(side -> outputs.addAll(side.outputs()));
    List<Outlet> outlets = new ArrayList<>();
    outlets.add(new Outlets.Lines());
    outlets.add(new Outlets.Counts(metrics));
    outlets.add(new Outlets.CellAnswers(registers));
    CellTestProtocols tests = new CellTestProtocols(config.agent(), Version.TEXT, config.data());
    toClose.push(tests);
    // Before the answers, so that whoever got one finds the test that it began.
    outlets.add(tests);
    outlets.add(new JournalWork(journal, this::reloadRules));
    AskedPorts asked = new AskedPorts();
    outlets.add(asked);
    broker.ifPresent(side -> outlets.addAll(side.outlets(replayed.state(), rules)));
    Optional<LocalCommands> local = localCommands();
    local.ifPresent(commands -> outlets.add(new Outlets.Answers(commands)));
    Optional<BoardSide> board =
        config.board().map(where -> new BoardSide(config, where, wall, inbox, monotonic));
    board.ifPresent(side -> outlets.addAll(side.outlets()));

    Loop loop =
        new Loop(
            new Loop.Parts(
                inbox, journal, wall, monotonic, outputs, beat, outlets, lastSeqPerTopic),
            replayed);
    journal.start(new JournalMeter(loop, metrics.journal()));
    running = Optional.of(loop);
    inbox.put(started(clean));
    if (journal.opened().toAdopt().isPresent()) {
      inbox.put(new Event.JournalDoubted("not-adopted", true, journal.opened().toAdopt().get()));
    }
    inbox.put(rules.event());
    Thread thread = new Thread(loop, "loop");
    thread.start();
    toClose.push(() -> stop(loop));
    outputs.forEach(
        output -> {
          output.start();
          toClose.push(output);
        });
    broker.ifPresent(
        side -> {
          side.start();
          toClose.push(side);
        });
    local.ifPresent(
        commands -> {
          commands.start(new ShownHolds(config.agent(), loop, wall, tests));
          // Once more, so that nobody is heard any more when the loop ends.
          toClose.push(commands);
        });
    if (board.isPresent()) {
      toClose.push(board.get());
      board.get().start(loop, rules, journal.reader(), wall, monotonic);
    }
    health(loop, journal, broker);
    metrics.agent().started(Version.TEXT, at, clean ? 0 : 1);
    if (!loop.awaitBegun(FIRST_SYNC)) {
      LOG.warn("the journal has not taken the start yet; no permit until it does");
    }
    Links links =
        new Links(
            monotonic,
            System.in,
            broker.flatMap(BrokerSide::gaugeLink),
            port -> replayed.state().bookmark(port),
            asked);
    for (PortConfig port : config.ports()) {
      SourceFeed feed =
          Sources.feed(
              port,
              config.gauges(),
              links.of(port),
              inbox,
              new SourceMeter(metrics.input()),
              gates,
              wall,
              monotonic);
      feed.start();
      toClose.push(feed);
    }
    broker.ifPresent(BrokerSide::startGauges);
    rehearse(at);
    RulesReload watch =
        new RulesReload(
            config.rules(), rules, file -> file.keep(journal), inbox, RulesReload.EVERY);
    watch.start();
    toClose.push(watch);
    reload = Optional.of(watch);
  }

  /** Whether the loop has turned of late. Any thread. */
  boolean turning() {
    return running.filter(loop -> loop.nanosSinceLastTurn() < STILL.toNanos()).isPresent();
  }

  /** Reads the rules file now. Any thread; never waits. */
  void reloadRules() {
    reload.ifPresent(RulesReload::ask);
  }

  /** So that the first hold is not the slowest (docs/speed.md). */
  private void rehearse(Instant at) {
    List<Event> evidence = new ArrayList<>(List.of(started(true), rules.event()));
    evidence.add(new Event.BrokerChanged("control", true, ""));
    for (PortConfig port : config.ports()) {
      evidence.add(new Event.SourceChanged(port.id(), portStart(port).gauges(), true, ""));
    }
    config.cells().forEach(cell -> evidence.add(new Event.LinkChanged(cell.id(), true, "")));
    Thread thread =
        new Thread(() -> Rehearsal.hold(at, evidence, rules.features()), "hold-rehearsal");
    thread.setDaemon(true);
    thread.start();
  }

  private Optional<LocalCommands> localCommands() throws IOException {
    if (config.commands().socket().isEmpty()) {
      return Optional.empty();
    }
    LocalCommands commands =
        LocalCommands.open(
            config.commands().socket().get(),
            config.commands().groups(),
            new CommandReader(wall, () -> false, config.commands().twoPersons().isPresent()),
            inbox,
            monotonic);
    toClose.push(commands);
    return Optional.of(commands);
  }

  private List<ModbusOutput> registers() {
    List<ModbusOutput> outputs = new ArrayList<>();
    for (CellConfig cell : config.cells()) {
      Wires wires =
          new Wires(
              gates, monotonic, new CellMeter(cell.id(), metrics.holds()), rules::featureNumbered);
      cell.modbus()
          .ifPresent(
              modbus ->
                  outputs.add(
                      modbus.server()
                          ? new ModbusServerOutput(cell.id(), modbus, wires)
                          : new ModbusClientOutput(cell.id(), modbus, wires)));
    }
    return outputs;
  }

  private Event started(boolean clean) {
    SecureRandom random = new SecureRandom();
    byte[] nonce = new byte[16];
    random.nextBytes(nonce);
    return new Event.AgentStarted(
        Version.TEXT,
        1 + random.nextInt(65_535),
        HexFormat.of().formatHex(nonce),
        clean,
        config.cells().stream().map(cell -> Policies.of(cell, config.commands())).toList(),
        config.ports().stream().map(this::portStart).toList());
  }

  private Event.Port portStart(PortConfig port) {
    return new Event.Port(
        port.id(),
        config.gauges().stream()
            .filter(gauge -> gauge.port().equals(port.id()))
            .map(GaugeConfig::id)
            .toList(),
        port.asking().filter(Asking::isByCommand).isPresent());
  }

  private void health(Loop loop, JournalStore journal, Optional<BrokerSide> broker)
      throws IOException {
    metrics.journal().dataFree(() -> free(config.data()));
    metrics.agent().inbox(inbox::waiting);
    Health health =
        new Health(
            loop,
            journal,
            rules,
            metrics,
            () -> broker.map(BrokerSide::warnings).orElse(List.of()));
    metrics.beforeScrape(health::refresh);
    if (config.http().enabled()) {
      HealthServer server =
          HealthServer.start(config.http().host(), config.http().port(), metrics, health);
      toClose.push(server);
      LOG.info("metrics on http://{}:{}/metrics", config.http().host(), server.port());
    }
  }

  private static long free(Path data) {
    return data.toFile().getUsableSpace();
  }

  private void stop(Loop loop) throws InterruptedException {
    inbox.put(new Event.AgentStopped());
    if (!loop.awaitEnd(LOOP_END)) {
      LOG.warn(
          "the loop did not end within {} s; the next start counts as unclean",
          LOOP_END.toSeconds());
    }
  }

  @Override
  public void close() {
    while (!toClose.isEmpty()) {
      AutoCloseable next = toClose.pop();
      try {
        next.close();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      } catch (Exception e) {
        LOG.warn("stopping {}: {}", next.getClass().getSimpleName(), e.toString());
      }
    }
    metrics.close();
  }

  private static KnownIds known(AgentConfig config) {
    Set<String> sources = new HashSet<>();
    config.gauges().forEach(gauge -> sources.add(gauge.id()));
    config.ports().forEach(port -> sources.add(port.id()));
    return new KnownIds(
        sources,
        config.cells().stream().map(CellConfig::id).collect(Collectors.toSet()),
        Arrays.stream(CommandName.values()).map(CommandName::key).collect(Collectors.toSet()));
  }
}
