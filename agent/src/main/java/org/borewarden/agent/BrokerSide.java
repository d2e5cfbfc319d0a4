package org.borewarden.agent;

import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.mqtt.CommandAnswers;
import org.borewarden.agent.command.mqtt.MqttCommands;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.agent.config.MqttInLink;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.mqtt.MqttBeatOutput;
import org.borewarden.agent.journal.JournalIds;
import org.borewarden.agent.journal.Outbox;
import org.borewarden.agent.loop.Inbox;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.mqtt.CertificateWatch;
import org.borewarden.agent.mqtt.LinkSettings;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.observe.AgentMetrics;
import org.borewarden.agent.observe.Metrics;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.borewarden.agent.publish.mqtt.RecordLimits;
import org.borewarden.agent.publish.mqtt.RecordPublisher;
import org.borewarden.agent.publish.mqtt.StatePublisher;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.State;

/** All that hangs on the broker: two links, the publishers, the MQTT beats, the commands. */
final class BrokerSide implements AutoCloseable {
  private final MqttLink control;
  private final MqttLink record;

  /** Apart from the two, so that a flood of readings delays neither beat nor record. */
  private final Optional<MqttLink> gaugeLink;

  private final StatePublisher states;
  private final RecordPublisher records;
  private final CommandAnswers answers;
  private final Optional<MqttCommands> commands;
  private final Optional<CertificateWatch> certificates;
  private final List<HoldOutput> outputs = new ArrayList<>();
  private final String agent;
  private final String journal;
  private final Set<String> gauges = new HashSet<>();
  private volatile boolean closing;

  BrokerSide(
      AgentConfig config,
      BrokerConfig broker,
      JournalIds journal,
      Outbox outbox,
      Inbox inbox,
      Metrics metrics,
      WallClock wall,
      MonotonicClock monotonic)
      throws IOException {
    this.agent = config.agent();
    this.journal = journal.of(Long.MAX_VALUE);
    config.gauges().forEach(gauge -> gauges.add(gauge.id()));
    // Where no gauge can be told, a rejected frame is the port's.
    config.ports().forEach(port -> gauges.add(port.id()));
    Topics topics = new Topics(config.root());
    control =
        new MqttLink(
            LinkSettings.of(
                "control", broker, Optional.of(StatePublisher.will(topics, config.agent()))),
            new java.util.Random(),
            monotonic);
    record =
        new MqttLink(
            LinkSettings.of("record", broker, Optional.empty()), new java.util.Random(), monotonic);
    gaugeLink =
        config.ports().stream().anyMatch(port -> port.link() instanceof MqttInLink)
            ? Optional.of(
                new MqttLink(
                    LinkSettings.of("gauges", broker, Optional.empty()),
                    new java.util.Random(),
                    monotonic))
            : Optional.empty();
    control.listen(state -> changed(state, inbox, metrics));
    record.listen(state -> changed(state, inbox, metrics));
    states = new StatePublisher(control, topics, config.agent());
    records =
        new RecordPublisher(
            record,
            outbox,
            new Envelope(config.agent(), journal),
            topics,
            new RecordLimits(broker.longestPayload(), broker.expireAfter()),
            monotonic,
            new BrokerMeter(metrics));
    certificates =
        broker
            .tls()
            .map(
                tls ->
                    new CertificateWatch(
                        tls, CertificateWatch.EVERY, wall, new Certificates(metrics.agent())));
    answers = new CommandAnswers(control, monotonic);
    commands =
        MqttCommands.of(
            config.commands(),
            control,
            topics,
            new CommandReader(wall, () -> false, config.commands().twoPersons().isPresent()),
            inbox,
            answers,
            monotonic);
    for (CellConfig cell : config.cells()) {
      cell.mqtt()
          .ifPresent(
              beat ->
                  outputs.add(
                      new MqttBeatOutput(
                          cell.id(), topics, control, beat.beatEvery(), wall, monotonic)));
    }
  }

  /** The connection for gauges on the broker, where the config names any. */
  Optional<MqttLink> gaugeLink() {
    return gaugeLink;
  }

  /** Begins to hear gauges; their links have subscribed before. */
  void startGauges() {
    gaugeLink.ifPresent(MqttLink::start);
  }

  List<HoldOutput> outputs() {
    return outputs;
  }

  /** What is told over the broker, from the state on that the journal gave. */
  List<Outlet> outlets(State before, RulesInForce rules) {
    StateTopics.Self self = new StateTopics.Self(agent, Version.TEXT, journal, gauges);
    return List.of(
        new StateTopics(self, before, states, rules::problemLines), new Outlets.Answers(answers));
  }

  /** Hears of the certificates. */
  private final class Certificates implements CertificateWatch.Listener {
    private final AgentMetrics metrics;

    Certificates(AgentMetrics metrics) {
      this.metrics = metrics;
    }

    @Override
    public void expires(String use, Instant at) {
      metrics.certificateExpires(use, at);
    }

    @Override
    public void renewed() {
      String why = "taken up anew with renewed certificates";
      record.renew(why);
      gaugeLink.ifPresent(link -> link.renew(why));
      control.renew(why);
    }
  }

  /** What a person should look at, one sentence each. Any thread. */
  List<String> warnings() {
    List<String> lines = new ArrayList<>();
    certificates.ifPresent(watch -> lines.addAll(watch.warnings()));
    states.unheard().forEach(topic -> lines.add("nobody subscribes to the topic " + topic));
    return lines;
  }

  void start() {
    certificates.ifPresent(CertificateWatch::start);
    control.start();
    record.start();
    records.start();
    commands.ifPresent(MqttCommands::start);
  }

  private void changed(LinkState state, Inbox inbox, Metrics metrics) {
    metrics.brokers().connected(state.link(), state.connected());
    if (closing) {
      // An orderly stop is no loss: it must not leave an alert that nobody is there to publish.
      return;
    }
    // A full inbox must not hold up the link; the next change says how it stands.
    inbox.offer(new Event.BrokerChanged(state.link(), state.connected(), state.detail()));
  }

  @Override
  public void close() {
    closing = true;
    certificates.ifPresent(CertificateWatch::close);
    commands.ifPresent(MqttCommands::close);
    gaugeLink.ifPresent(MqttLink::close);
    records.close();
    states.close();
    record.close();
    control.close();
  }
}
