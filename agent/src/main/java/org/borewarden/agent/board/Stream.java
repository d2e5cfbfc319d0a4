package org.borewarden.agent.board;

import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.clock.MonotonicClock;

/**
 * Tells one viewer what is new, as server-sent events, until the stream is old. The page opens the
 * next before it leaves this one, so that the server's limit of an answer's time can stand.
 */
final class Stream {
  /** Viewers at once; one more is told so. */
  static final int VIEWERS_AT_MOST = 16;

  private static final long LOOK_MILLIS = 1_000;

  private final Feed feed;
  private final Runs runs;
  private final String head;
  private final MonotonicClock clock;
  private final long lifeNanos;
  private final Semaphore places = new Semaphore(VIEWERS_AT_MOST);

  /**
   * Streams of one board.
   *
   * @param feed what is shown
   * @param runs what happened to each feature
   * @param head what a page must know at once, the members of an object
   * @param clock for the age of a stream
   * @param lifeSeconds how old one becomes
   */
  Stream(Feed feed, Runs runs, String head, MonotonicClock clock, int lifeSeconds) {
    this.feed = feed;
    this.runs = runs;
    this.head = head;
    this.clock = clock;
    this.lifeNanos = TimeUnit.SECONDS.toNanos(lifeSeconds);
  }

  void serve(HttpExchange exchange) throws IOException {
    if (!places.tryAcquire()) {
      Answer.text(exchange, 503, VIEWERS_AT_MOST + " pages look at this board, at most so many");
      return;
    }
    try {
      exchange.getResponseHeaders().set("Content-Type", "text/event-stream; charset=utf-8");
      exchange.sendResponseHeaders(200, 0);
      try (OutputStream out = exchange.getResponseBody()) {
        tell(out);
      }
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    } finally {
      places.release();
    }
  }

  private void tell(OutputStream out) throws IOException, InterruptedException {
    long end = clock.nanos() + lifeNanos;
    Feed.Frame frame = feed.after(0, LOOK_MILLIS, TimeUnit.MILLISECONDS);
    say(out, "", "{" + head + "," + frame.beat() + ",\"state\":{" + frame.state() + "}}");
    long upTo = -1;
    long states = frame.states();
    while (!feed.closed() && clock.nanos() < end) {
      Runs.Part part = runs.since(upTo);
      StringBuilder json = new StringBuilder("{").append(frame.beat());
      if (frame.states() != states) {
        json.append(",\"state\":{").append(frame.state()).append('}');
      }
      if (part.json().length() > 2) {
        json.append(",\"runs\":").append(part.json());
      }
      say(out, "", json.append('}').toString());
      states = frame.states();
      upTo = part.upTo();
      frame = feed.after(frame.number(), LOOK_MILLIS, TimeUnit.MILLISECONDS);
    }
    say(out, "event: renew\n", "{}");
  }

  private static void say(OutputStream out, String before, String json) throws IOException {
    out.write((before + "data: " + json + "\n\n").getBytes(StandardCharsets.UTF_8));
    out.flush();
  }
}
