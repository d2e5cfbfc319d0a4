package org.borewarden.agent;

import java.io.IOException;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.agent.board.Board;
import org.borewarden.agent.board.BoardServer;
import org.borewarden.agent.board.Glance;
import org.borewarden.agent.board.Hands;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.BoardConfig;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.loop.Loop;
import org.borewarden.agent.loop.Outlet;

/** The page for people, where the config names it. */
final class BoardSide implements AutoCloseable {
  private final AgentConfig config;
  private final BoardConfig where;
  private final Optional<Hands> hands;
  private Optional<Board> board = Optional.empty();
  private Optional<BoardServer> server = Optional.empty();

  BoardSide(
      AgentConfig config,
      BoardConfig where,
      WallClock wall,
      EventSink sink,
      MonotonicClock monotonic) {
    this.config = config;
    this.where = where;
    this.hands =
        where.hands()
            ? Optional.of(
                new Hands(where.persons(), new CommandReader(wall, () -> false), sink, monotonic))
            : Optional.empty();
    BoardServer.letStreamsLive();
  }

  /** What takes the answers back, where orders are taken. */
  List<Outlet> outlets() {
    return hands.map(own -> List.<Outlet>of(new Outlets.Answers(own))).orElse(List.of());
  }

  void start(
      Loop loop, RulesInForce rules, JournalView journal, WallClock wall, MonotonicClock monotonic)
      throws IOException {
    Board looking =
        new Board(
            config.agent(),
            where.token().isPresent(),
            new LoopGlance(loop, rules),
            journal,
            wall,
            monotonic);
    looking.start();
    board = Optional.of(looking);
    server = Optional.of(BoardServer.start(where, config.site().zone(), looking, hands, monotonic));
  }

  private record LoopGlance(Loop loop, RulesInForce rules) implements Glance {
    @Override
    public Seen seen() {
      Loop.Shown shown = loop.shown();
      return new Seen(
          shown.state(),
          loop.recorded(shown) ? OptionalLong.of(shown.seq()) : OptionalLong.empty());
    }

    @Override
    public Duration sinceTurn() {
      return Duration.ofNanos(loop.nanosSinceLastTurn());
    }

    @Override
    public List<String> refusedLines() {
      return rules.problemLines();
    }
  }

  @Override
  public void close() {
    board.ifPresent(Board::close);
    server.ifPresent(BoardServer::close);
  }
}
