package org.borewarden.agent.mqtt;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.config.BrokerConfig.Tls;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Looks at the files of TLS: what was renewed is taken by new connections, and what expires soon is
 * said in time. A thread of its own, {@code certificates}; the files are small and on a local disk.
 *
 * <p>A renewal is taken once the files have been the same for one look and can be used together, so
 * that neither a half-written file nor a new certificate beside the old key ends a connection that
 * stands.
 */
public final class CertificateWatch implements AutoCloseable {
  /** Between two looks at the files. */
  public static final Duration EVERY = Duration.ofSeconds(5);

  /** Said when so many days are left, and when none is. */
  private static final List<Long> DAYS = List.of(30L, 7L, 1L, 0L);

  private static final Duration LONGEST_END = Duration.ofSeconds(2);
  private static final Logger LOG = LoggerFactory.getLogger(CertificateWatch.class);

  private final Tls tls;
  private final Duration every;
  private final WallClock wall;
  private final Listener listener;
  private final Map<String, Path> files = new LinkedHashMap<>();
  private final Map<String, Long> said = new HashMap<>();
  private final Thread thread = new Thread(this::run, "certificates");
  private volatile Map<String, Instant> expiries = Map.of();
  private List<String> taken = List.of();
  private List<String> seen = List.of();
  private String trouble = "";

  /** Hears of the files. Called on the watch's thread; must only hand over. */
  public interface Listener {
    /**
     * When a certificate expires; said at the start and after each renewal.
     *
     * @param use {@code broker-client} or {@code broker-ca}
     * @param at the wall time
     */
    void expires(String use, Instant at);

    /** The files are other ones than those of the connections that stand, and can be used. */
    void renewed();
  }

  /**
   * A watch; it begins with {@link #start()}.
   *
   * @param tls the files
   * @param every between two looks
   * @param wall for what expires
   * @param listener hears of them
   */
  public CertificateWatch(Tls tls, Duration every, WallClock wall, Listener listener) {
    this.tls = tls;
    this.every = every;
    this.wall = wall;
    this.listener = listener;
    tls.certificate().ifPresent(file -> files.put("broker-client", file));
    tls.ca().ifPresent(file -> files.put("broker-ca", file));
    thread.setDaemon(true);
  }

  /** Takes the files as they are and starts the thread. */
  public void start() {
    taken = stamps();
    seen = taken;
    read();
    thread.start();
  }

  /**
   * What expires within 30 days, for people.
   *
   * @return one sentence each
   */
  public List<String> warnings() {
    List<String> lines = new ArrayList<>();
    expiries.forEach(
        (use, at) -> {
          if (daysLeft(at) < DAYS.get(0)) {
            lines.add(words(use, at));
          }
        });
    return lines;
  }

  private void run() {
    try {
      while (true) {
        Thread.sleep(every.toMillis());
        look();
      }
    } catch (InterruptedException stop) {
      LOG.debug("no longer looks at certificates");
    }
  }

  private void look() {
    List<String> now = stamps();
    boolean rested = now.equals(seen);
    seen = now;
    if (rested && !now.equals(taken)) {
      try {
        TlsMaterial.load(Optional.of(tls));
        taken = now;
        trouble = "";
        LOG.info("certificates were renewed");
        said.clear();
        read();
        listener.renewed();
      } catch (LinkException unusable) {
        String why = String.valueOf(unusable.getMessage());
        if (!why.equals(trouble)) {
          trouble = why;
          LOG.warn("certificates have changed and cannot be used yet: {}", why);
        }
      }
    }
    expiries.forEach(this::sayInTime);
  }

  private void read() {
    Map<String, Instant> found = new LinkedHashMap<>();
    files.forEach(
        (use, file) -> {
          try {
            Instant at = TlsMaterial.expiry(use, file);
            found.put(use, at);
            listener.expires(use, at);
          } catch (LinkException unreadable) {
            LOG.warn("{}", unreadable.getMessage());
          }
        });
    expiries = found;
    expiries.forEach(this::sayInTime);
  }

  /** Each threshold once. */
  private void sayInTime(String use, Instant at) {
    long left = daysLeft(at);
    Optional<Long> reached = DAYS.stream().filter(days -> left < days).reduce((a, b) -> b);
    if (reached.isPresent() && said.getOrDefault(use, Long.MAX_VALUE) > reached.get()) {
      said.put(use, reached.get());
      LOG.warn("{}", words(use, at));
    }
  }

  private String words(String use, Instant at) {
    long left = daysLeft(at);
    return left < 0
        ? "the certificate " + use + " has expired (" + at + ")"
        : "the certificate " + use + " expires in " + left + " days (" + at + ")";
  }

  private long daysLeft(Instant at) {
    return Math.floorDiv(Duration.between(wall.now(), at).toSeconds(), 86_400L);
  }

  private List<String> stamps() {
    List<String> all = new ArrayList<>();
    tls.ca().ifPresent(file -> all.add(stamp(file)));
    tls.certificate().ifPresent(file -> all.add(stamp(file)));
    tls.key().ifPresent(file -> all.add(stamp(file)));
    return all;
  }

  private static String stamp(Path file) {
    try {
      BasicFileAttributes of = Files.readAttributes(file, BasicFileAttributes.class);
      return of.lastModifiedTime() + " " + of.size() + " " + of.fileKey();
    } catch (IOException missing) {
      return "missing";
    }
  }

  @Override
  public void close() {
    thread.interrupt();
    try {
      thread.join(LONGEST_END.toMillis());
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }
}
