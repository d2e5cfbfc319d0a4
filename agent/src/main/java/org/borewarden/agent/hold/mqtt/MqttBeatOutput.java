package org.borewarden.agent.hold.mqtt;

import java.time.Duration;
import java.util.Optional;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;

/**
 * Publishes the beats of one cell on {@code heartbeat/<cell>}: at most once, never retained,
 * worthless after a second, so that no broker can hand a permit to anybody after the agent is gone.
 *
 * <p>It has no thread: a beat is handed to the control link's thread, and while one is still there
 * only the newest waits behind it. Every beat given is thinned to the period, except that a change
 * of the permit goes at once. What was not given is not sent, and what has waited for longer than a
 * beat may be believed is dropped.
 */
public final class MqttBeatOutput implements HoldOutput {
  private static final Duration EXPIRY = Duration.ofSeconds(1);

  private final String cell;
  private final String topic;
  private final String begin;
  private final MqttLink link;
  private final long periodNanos;
  private final WallClock wall;
  private final MonotonicClock clock;
  private boolean closed;
  private boolean underWay;
  private Optional<Beat> newest = Optional.empty();
  private Optional<Beat> last = Optional.empty();

  /**
   * A beat as it was given.
   *
   * @param number its number
   * @param permit whether the permit is given
   * @param boot the agent's boot id
   * @param hold the hold's number
   * @param revision the hold's revision
   * @param nanos when it was given
   */
  private record Beat(int number, boolean permit, int boot, int hold, int revision, long nanos) {
    Beat withoutPermit(long now) {
      return new Beat(number, false, boot, hold, revision, now);
    }
  }

  /**
   * Makes an output.
   *
   * @param cell the cell
   * @param topics where to publish
   * @param link the control link
   * @param beatEvery the beat period
   * @param wall for the stamp in the payload, which nobody should measure with
   * @param clock for durations
   */
  public MqttBeatOutput(
      String cell,
      Topics topics,
      MqttLink link,
      Duration beatEvery,
      WallClock wall,
      MonotonicClock clock) {
    this.cell = cell;
    this.topic = topics.heartbeat(cell);
    this.begin = "{\"cell\":" + Envelope.quoted(cell);
    this.link = link;
    this.wall = wall;
    this.clock = clock;
    // A loop that beats at the same period is never quite exact: a fifth of a period of grace.
    this.periodNanos = beatEvery.toNanos() / 5 * 4;
  }

  @Override
  public String cell() {
    return cell;
  }

  @Override
  public void start() {
    // The control link's thread does the work; until the first beat there is silence.
  }

  @Override
  public void beat(int beat, PermitImage image) {
    long now = clock.nanos();
    Beat given =
        new Beat(
            beat,
            image.hold().permitted(),
            image.bootId(),
            image.hold().number(),
            image.hold().revision(),
            now);
    offer(given);
  }

  private synchronized void offer(Beat given) {
    if (closed || !due(given)) {
      return;
    }
    last = Optional.of(given);
    if (underWay) {
      newest = Optional.of(given);
    } else {
      send(given);
    }
  }

  private boolean due(Beat given) {
    return last.isEmpty()
        || last.get().permit() != given.permit()
        || last.get().revision() != given.revision()
        || given.nanos() - last.get().nanos() >= periodNanos;
  }

  private void send(Beat beat) {
    underWay = true;
    link.publish(OutMessage.beat(topic, json(beat), EXPIRY), result -> sent());
  }

  private synchronized void sent() {
    underWay = false;
    Optional<Beat> next = newest;
    newest = Optional.empty();
    if (next.isPresent() && clock.nanos() - next.get().nanos() < EXPIRY.toNanos()) {
      send(next.get());
    }
  }

  private String json(Beat beat) {
    return begin
        + ",\"permit\":"
        + beat.permit()
        + ",\"boot\":"
        + beat.boot()
        + ",\"beat\":"
        + beat.number()
        + ",\"hold\":"
        + beat.hold()
        + ",\"revision\":"
        + beat.revision()
        + ",\"at\":\""
        + Envelope.stamp(wall.now())
        + "\"}";
  }

  /**
   * Takes the permit back with the number of the last beat, so that nobody has to wait for the
   * silence to be noticed, and beats no more. Never waits.
   */
  @Override
  public synchronized void close() {
    if (closed) {
      return;
    }
    closed = true;
    newest = Optional.empty();
    last.ifPresent(beat -> send(beat.withoutPermit(clock.nanos())));
  }
}
