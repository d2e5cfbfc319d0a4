package org.borewarden.agent.proof;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Arrays;
import java.util.Locale;
import java.util.Random;
import java.util.UUID;
import org.borewarden.agent.command.CommandName;
import org.borewarden.rules.hold.HoldView;

/** Makes commands that must change nothing, each wrong in at least one way. Seeded. */
final class Forger {
  private final Random random;
  private final HoldView hold;
  private final String replayed;
  private int made;

  /**
   * Makes a forger who has heard everything.
   *
   * @param random where chance comes from
   * @param hold the hold as the retained topic shows it
   * @param replayed a release that was accepted once
   */
  Forger(Random random, HoldView hold, String replayed) {
    this.random = random;
    this.hold = hold;
    this.replayed = replayed;
  }

  /**
   * A forged command.
   *
   * @param way in which way it is wrong
   * @param role the role's level of its topic
   * @param name the command
   * @param text its bytes
   */
  record Forged(Way way, String role, CommandName name, ByteBuffer text) {}

  /** In which way it is wrong. */
  enum Way {
    GUESSED_CHALLENGE,
    NO_CHALLENGE,
    REPLAYED_AS_IT_WAS,
    REPLAYED_WITH_A_NEW_ID,
    OLDER_REVISION,
    OTHER_HOLD,
    ROLE_WITHOUT_THE_RIGHT,
    INVENTED_EVIDENCE,
    STALE,
    OVERSIZED,
    UNKNOWN_FIELD,
    FIELD_TWICE,
    BROKEN_BYTES,
    NOISE,
    OTHER_CELL
  }

  Forged next() {
    Way way = Way.values()[random.nextInt(Way.values().length)];
    CommandName name = random.nextInt(3) == 0 ? CommandName.BYPASS : CommandName.RELEASE;
    String good = command(name, hold.challenge(), hold.revision(), hold.number());
    return switch (way) {
      case GUESSED_CHALLENGE ->
          of(way, name, command(name, guess(), hold.revision(), hold.number()));
      case NO_CHALLENGE -> of(way, name, good.replaceFirst("\"challenge\":\"[^\"]*\",", ""));
      case REPLAYED_AS_IT_WAS -> of(way, CommandName.RELEASE, replayed);
      case REPLAYED_WITH_A_NEW_ID ->
          of(way, CommandName.RELEASE, replayed.replaceFirst("\"id\":\"[^\"]*\"", id()));
      case OLDER_REVISION -> of(way, name, command(name, hold.challenge(), older(), hold.number()));
      case OTHER_HOLD ->
          of(way, name, command(name, hold.challenge(), hold.revision() + 1, hold.number() + 1));
      case ROLE_WITHOUT_THE_RIGHT ->
          new Forged(way, weakRole(), name, ByteBuffer.wrap(bytes(good)));
      case INVENTED_EVIDENCE ->
          new Forged(way, "setter", CommandName.RELEASE, ByteBuffer.wrap(bytes(withEvidence())));
      case STALE -> of(way, name, with(good, "\"issued\":\"" + longAgo() + "\""));
      case OVERSIZED -> of(way, name, with(good, "\"text\":\"" + "x".repeat(4096) + "\""));
      case UNKNOWN_FIELD -> of(way, name, with(good, "\"" + letters() + "\":1"));
      case FIELD_TWICE -> of(way, name, with(good, "\"cell\":\"cell-4\""));
      case BROKEN_BYTES -> new Forged(way, "supervisor", name, ByteBuffer.wrap(broken(good)));
      case NOISE -> new Forged(way, "supervisor", name, ByteBuffer.wrap(noise()));
      case OTHER_CELL -> of(way, name, good.replace("cell-4", "cell-" + letters()));
    };
  }

  /** The release that a supervisor would rightly send. */
  String rightful() {
    return command(CommandName.RELEASE, hold.challenge(), hold.revision(), hold.number());
  }

  private static Forged of(Way way, CommandName name, String text) {
    return new Forged(way, "supervisor", name, ByteBuffer.wrap(bytes(text)));
  }

  private String command(CommandName name, String challenge, int revision, int number) {
    String about =
        String.format(
            Locale.ROOT,
            "{%s,\"challenge\":\"%s\",\"who\":\"m.weber\",\"cell\":\"cell-4\",\"hold\":%d,"
                + "\"revision\":%d,\"reason\":\"looked\"",
            id(),
            challenge,
            number,
            revision);
    return name == CommandName.BYPASS
        ? about + ",\"causes\":[\"oversize/bearing-seat\"],\"minutes\":60}"
        : about + ",\"needed\":\"yes\",\"evidence\":[],\"contain\":\"measured\"}";
  }

  private String withEvidence() {
    return rightful().replace("\"evidence\":[]", "\"evidence\":[" + (900_000 + made) + "]");
  }

  private String id() {
    made++;
    return "\"id\":\"" + new UUID(0x0195570a7c007000L, random.nextLong() >>> 2 | 1L << 63) + "\"";
  }

  private static String with(String object, String field) {
    return object.substring(0, object.length() - 1) + "," + field + "}";
  }

  private String guess() {
    return String.format(Locale.ROOT, "%016x", random.nextLong());
  }

  private int older() {
    return Math.max(0, hold.revision() - 1 - random.nextInt(5));
  }

  private String weakRole() {
    String[] weak = {"inspector", "setter", "cell", "it", "quality"};
    return weak[random.nextInt(weak.length)];
  }

  private String longAgo() {
    Duration off = Duration.ofSeconds(31 + random.nextInt(1_000_000));
    return (random.nextBoolean() ? Cell.NOW.minus(off) : Cell.NOW.plus(off)).toString();
  }

  private String letters() {
    return "x" + Integer.toString(random.nextInt(1 << 30), 36);
  }

  /** Cut short, and with a byte changed to one that no JSON text has there. */
  private byte[] broken(String good) {
    byte[] all = bytes(good);
    byte[] cut = Arrays.copyOf(all, 1 + random.nextInt(all.length - 1));
    cut[random.nextInt(cut.length)] = (byte) random.nextInt(32);
    return cut;
  }

  private byte[] noise() {
    byte[] noise = new byte[random.nextInt(5000)];
    random.nextBytes(noise);
    return noise;
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
