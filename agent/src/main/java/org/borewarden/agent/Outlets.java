package org.borewarden.agent;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.command.AnswerBook;
import org.borewarden.agent.hold.modbus.ModbusOutput;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Turn;
import org.borewarden.agent.observe.Metrics;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Effect;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.hold.Phase;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** What tells people of each turn: retained topics, answers, metrics and the log. */
final class Outlets {
  private Outlets() {}

  /**
   * The answers to commands.
   *
   * @param answers knows where each goes; what came another way it passes over
   */
  record Answers(AnswerBook answers) implements Outlet {
    @Override
    public void stepped(Turn turn) {
      // An answer says "recorded", so it waits.
    }

    @Override
    public void synced(Turn turn) {
      int index = 0;
      for (Decision decision : turn.decisions()) {
        if (decision instanceof Decision.CommandAnswered answered) {
          Optional<Phase> phase =
              answered
                  .cell()
                  .flatMap(cell -> turn.state().cellView(cell, turn.event().at()))
                  .map(view -> view.hold().phase());
          answers.answer(answered, turn.seqOf(index), phase);
        }
        index++;
      }
    }
  }

  /**
   * The answers to what a cell's controller asked over its registers.
   *
   * @param outputs the register outputs
   */
  record CellAnswers(List<ModbusOutput> outputs) implements Outlet {
    CellAnswers {
      outputs = List.copyOf(outputs);
    }

    @Override
    public void stepped(Turn turn) {
      // An answer says "recorded", so it waits.
    }

    @Override
    public void synced(Turn turn) {
      for (Decision decision : turn.decisions()) {
        if (decision instanceof Decision.CommandAnswered answered) {
          outputs.forEach(output -> output.answered(answered.commandId(), answered.code()));
        }
      }
    }
  }

  /**
   * The metrics that follow from what was judged.
   *
   * @param metrics where they are
   */
  record Counts(Metrics metrics) implements Outlet {
    @Override
    public void stepped(Turn turn) {
      for (Decision decision : turn.decisions()) {
        if (decision instanceof Decision.BoreJudged judged) {
          metrics.bores().judged(judged);
        } else if (decision instanceof Decision.ReadingDisbelieved disbelieved) {
          metrics.input().rejected(disbelieved.gauge(), disbelieved.why(), 1);
        } else if (decision instanceof Decision.Found found) {
          metrics.bores().found(found.finding());
        } else if (decision instanceof Decision.HoldChanged changed) {
          metrics.holds().show(changed.hold());
        } else if (decision instanceof Decision.HoldTestPassed passed) {
          metrics.holds().testPassed(passed.cell(), turn.event().at());
          metrics.holds().testDue(passed.cell(), turn.state().holdTestDue(passed.cell()));
        } else if (decision instanceof Decision.CommandAnswered answered
            && turn.event().event() instanceof Event.CommandGiven given) {
          metrics.agent().command(Words.of(given.command().order()), answered.code());
        }
      }
      for (Effect effect : turn.step().effects()) {
        if (effect instanceof Effect.TrendMoved moved) {
          moved
              .trend()
              .forecast()
              .ifPresent(f -> metrics.bores().untilLimit(moved.trend().feature(), f.partsLeft()));
          metrics.bores().capability(moved.trend());
        } else if (effect instanceof Effect.HoldReleased released) {
          metrics.holds().released(released.cell(), released.needed(), released.contain());
        }
      }
      if (turn.event().event() instanceof Event.AgentStarted) {
        State state = turn.state();
        for (String cell : state.cellIds()) {
          state.holdTested(cell).ifPresent(at -> metrics.holds().testPassed(cell, at));
          metrics.holds().testDue(cell, state.holdTestDue(cell));
        }
      }
      GaugeShow.of(turn, metrics.input());
      event(turn.event().event());
    }

    @Override
    public void turned(long nanos) {
      metrics.agent().loopTurn(Duration.ofNanos(nanos));
    }

    private void event(Event event) {
      if (event instanceof Event.CommandRefused refused) {
        metrics.agent().command(refused.command(), refused.code());
      } else if (event instanceof Event.ClockStepped) {
        metrics.agent().clockStepped();
      } else if (event instanceof Event.JournalChanged changed) {
        metrics.journal().writable(changed.writable());
      } else if (event instanceof Event.JournalNoted noted) {
        switch (noted.what()) {
          case "retired" -> metrics.journal().retired(noted.count());
          case "left-unsent" -> metrics.journal().leftUnsent(noted.count());
          default -> {
            // Told in the log.
          }
        }
      } else if (event instanceof Event.RulesLoaded loaded) {
        metrics.agent().rules(loaded.rules().revision());
        metrics.agent().rulesReloadFailed(false);
        metrics
            .bores()
            .features(loaded.rules().features().stream().map(feature -> feature.id()).toList());
      } else if (event instanceof Event.RulesRefused) {
        metrics.agent().rulesReloadFailed(true);
      } else if (event instanceof Event.CellReported reported) {
        metrics.holds().inCycle(reported.cell(), reported.report().inCycle());
      }
    }

    @Override
    public void synced(Turn turn) {
      // Counted when it happened.
    }
  }

  /** One line per event of interest; nothing per reading. */
  static final class Lines implements Outlet {
    private static final Logger LOG = LoggerFactory.getLogger("borewarden");

    @Override
    public void stepped(Turn turn) {
      for (Decision decision : turn.decisions()) {
        if (decision instanceof Decision.HoldChanged changed) {
          LOG.info("{}", Words.of(changed.hold()));
        } else if (decision instanceof Decision.HoldTestPassed passed) {
          LOG.info("cell {}: hold {} proved the hold path", passed.cell(), passed.hold());
        } else if (decision instanceof Decision.CellTestEnded ended) {
          LOG.info(
              "cell {}: cell test ended: {}, {} steps passed, {} failed",
              ended.cell(),
              ended.outcome(),
              ended.passed(),
              ended.failed());
        } else if (decision instanceof Decision.CommandAnswered answered
            && turn.event().event() instanceof Event.CommandGiven given) {
          LOG.info(
              "command {} by {} ({}): {} {}",
              Words.of(given.command().order()),
              given.command().who().orElse("?"),
              given.command().authenticatedAs(),
              answered.code().key(),
              answered.detail());
        }
      }
      for (Effect effect : turn.step().effects()) {
        if (effect instanceof Effect.Faulted faulted) {
          LOG.error("feature {} cannot be judged", faulted.feature(), faulted.fault());
        } else if (effect instanceof Effect.HoldReleased released) {
          LOG.info(
              "cell {}: hold {} released by {}, needed: {}, {} parts to hold back: {}",
              released.cell(),
              released.hold(),
              released.by(),
              released.needed(),
              released.parts().size(),
              released.contain().orElse("not said"));
        }
      }
      event(turn.event().event());
    }

    private static void event(Event event) {
      if (event instanceof Event.SourceChanged changed) {
        LOG.info(
            "port {} {}: {}",
            changed.source(),
            changed.connected() ? "connected" : "lost",
            changed.detail());
      } else if (event instanceof Event.LinkChanged changed) {
        LOG.info(
            "cell {} link {}: {}", changed.cell(), changed.up() ? "up" : "lost", changed.detail());
      } else if (event instanceof Event.BrokerChanged changed) {
        LOG.info(
            "broker, {} connection {}: {}",
            changed.link(),
            changed.connected() ? "connected" : "lost",
            changed.detail());
      } else if (event instanceof Event.JournalChanged changed) {
        LOG.warn(
            "journal {}: {}", changed.writable() ? "written again" : "failed", changed.detail());
      } else if (event instanceof Event.JournalDoubted doubted) {
        LOG.warn(
            "journal, {} {}: {}",
            doubted.subject(),
            doubted.stands() ? "stands" : "is over",
            doubted.detail());
      } else if (event instanceof Event.RulesLoaded loaded) {
        LOG.info(
            "rules {} loaded, {} features",
            loaded.rules().revision(),
            loaded.rules().features().size());
      } else if (event instanceof Event.RulesRefused refused) {
        LOG.warn("rules refused, {} problems, the first: {}", refused.problems(), refused.first());
      } else if (event instanceof Event.CommandRefused refused) {
        LOG.warn(
            "command {} ({}) refused: {} {}",
            refused.command(),
            refused.authenticatedAs(),
            refused.code().key(),
            refused.detail());
      } else if (event instanceof Event.ClockStepped stepped) {
        LOG.warn("the wall clock stepped by {} ms", stepped.millis());
      } else if (event instanceof Event.BeatChanged changed && changed.overdue()) {
        LOG.warn("the beat was late by {} ms", changed.gapMillis());
      }
    }

    @Override
    public void synced(Turn turn) {
      // Said when it happened.
    }
  }
}
