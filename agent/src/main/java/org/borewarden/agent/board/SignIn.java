package org.borewarden.agent.board;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.Secret;
import org.borewarden.agent.config.SecretException;
import org.borewarden.agent.config.Secrets;

/** Who may look: whoever once said the token, for half a day. Thread-safe. */
final class SignIn {
  /** The name of the cookie. */
  static final String COOKIE = "borewarden";

  static final int SHORTEST_TOKEN = 12;
  private static final int MOST_SESSIONS = 64;
  private static final long LIFE_NANOS = TimeUnit.HOURS.toNanos(12);
  private static final int BYTES = 32;

  private final Optional<Path> token;
  private final MonotonicClock clock;
  private final Tries tries;
  private final SecureRandom random = new SecureRandom();
  private final Map<String, Long> since = new LinkedHashMap<>();

  SignIn(Optional<Path> token, MonotonicClock clock) {
    this.token = token;
    this.clock = clock;
    this.tries = new Tries(clock);
  }

  boolean needed() {
    return token.isPresent();
  }

  /** A session for whoever knows the token; empty for others, and for all after too many tries. */
  synchronized Optional<String> open(String said) throws SecretException {
    if (token.isEmpty() || !tries.may()) {
      return Optional.empty();
    }
    char[] wanted = Secrets.ofThisProcess().read(new Secret.InFile(token.get()));
    if (wanted.length < SHORTEST_TOKEN) {
      throw new SecretException(
          "the token of the board: expected at least " + SHORTEST_TOKEN + " characters");
    }
    if (!same(new String(wanted), said)) {
      tries.wrong();
      return Optional.empty();
    }
    tries.right();
    byte[] bytes = new byte[BYTES];
    random.nextBytes(bytes);
    String session = HexFormat.of().formatHex(bytes);
    since.put(session, clock.nanos());
    if (since.size() > MOST_SESSIONS) {
      since.remove(since.keySet().iterator().next());
    }
    return Optional.of(session);
  }

  /** Whether a request with these cookies may be answered. */
  synchronized boolean admits(Stream<String> cookies) {
    if (token.isEmpty()) {
      return true;
    }
    since.values().removeIf(begun -> clock.nanos() - begun > LIFE_NANOS);
    return cookies
        .flatMap(line -> Stream.of(line.split(";", -1)))
        .map(String::strip)
        .filter(cookie -> cookie.startsWith(COOKIE + "="))
        .anyMatch(cookie -> since.containsKey(cookie.substring(COOKIE.length() + 1)));
  }

  /** Takes as long for a wrong word as for the right one. */
  static boolean same(String wanted, String said) {
    return MessageDigest.isEqual(bytes(wanted), bytes(said));
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
