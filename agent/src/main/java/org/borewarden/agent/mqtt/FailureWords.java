package org.borewarden.agent.mqtt;

import java.io.EOFException;
import java.net.ConnectException;
import java.net.NoRouteToHostException;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.net.UnknownHostException;
import java.security.cert.CertPathBuilderException;
import java.security.cert.CertPathValidatorException;
import java.security.cert.CertificateExpiredException;
import java.security.cert.CertificateNotYetValidException;
import java.util.Locale;
import java.util.Optional;
import javax.net.ssl.SSLException;
import org.jspecify.annotations.Nullable;

/** Says in words why a connection failed, from the deepest cause that means something to people. */
final class FailureWords {
  private static final int DEEPEST = 12;

  private final LinkSettings settings;

  FailureWords(LinkSettings settings) {
    this.settings = settings;
  }

  /** What the failure means; {@code before} says whether CONNECT was not yet answered. */
  String of(@Nullable Throwable failure, boolean beforeAnswer) {
    Optional<String> words = Optional.empty();
    Throwable cause = failure;
    for (int depth = 0; cause != null && depth < DEEPEST; depth++) {
      // The deepest cause wins: it is the most precise.
      Optional<String> found = one(cause, beforeAnswer);
      words = found.isPresent() ? found : words;
      cause = cause.getCause();
    }
    return words.orElseGet(() -> unknown(failure));
  }

  private Optional<String> one(Throwable cause, boolean beforeAnswer) {
    String said = Optional.ofNullable(cause.getMessage()).orElse("");
    if (cause instanceof UnknownHostException) {
      return Optional.of("the host name " + settings.host() + " is not known");
    }
    if (cause instanceof ConnectException) {
      return Optional.of("connection refused: nothing listens at " + where());
    }
    if (cause instanceof NoRouteToHostException) {
      return Optional.of("no route to " + where());
    }
    if (cause instanceof SocketTimeoutException) {
      return Optional.of("no answer from " + where() + " in time");
    }
    if (cause instanceof CertificateExpiredException) {
      return Optional.of("the broker's certificate has expired (" + said + ")");
    }
    if (cause instanceof CertificateNotYetValidException) {
      return Optional.of(
          "the broker's certificate is not yet valid (" + said + "); is the clock right?");
    }
    if (cause instanceof CertPathBuilderException) {
      return Optional.of("the broker's certificate comes from an issuer that is not trusted");
    }
    if (cause instanceof CertPathValidatorException) {
      return Optional.of("the broker's certificate is not accepted: " + said);
    }
    if (said.startsWith("No subject alternative") || said.startsWith("No name matching")) {
      return Optional.of(
          "the broker's certificate is not for the host name " + settings.host() + ": " + said);
    }
    if (said.equals("Invalid Return code")) {
      return Optional.of("the broker answered with a code that the client does not know");
    }
    if (cause instanceof SSLException) {
      return Optional.of(alert(said));
    }
    if (cause instanceof SocketException || cause instanceof EOFException) {
      return Optional.of(closed(beforeAnswer));
    }
    return Optional.empty();
  }

  private String alert(String said) {
    String lower = said.toLowerCase(Locale.ROOT);
    if (lower.contains("unsupported or unrecognized ssl message")) {
      return where() + " does not speak TLS; is the port right, or is mqtt:// meant?";
    }
    if (lower.contains("certificate_required") || lower.contains("bad_certificate")) {
      return ownCertificate("the broker demands a client certificate");
    }
    if (lower.contains("unknown_ca") || lower.contains("certificate_unknown")) {
      return "the broker does not trust the issuer of our client certificate";
    }
    if (lower.contains("certificate_expired")) {
      return "our client certificate has expired";
    }
    if (lower.contains("protocol_version")) {
      return "the broker does not speak TLS 1.2 or newer";
    }
    if (lower.contains("handshake_failure")) {
      return ownCertificate("the broker broke off the TLS handshake");
    }
    return "TLS failed: " + said;
  }

  private String ownCertificate(String what) {
    boolean given = settings.broker().tls().flatMap(tls -> tls.certificate()).isPresent();
    return given
        ? what + "; the one that is configured was not accepted"
        : what + "; none is configured";
  }

  private String closed(boolean beforeAnswer) {
    if (!beforeAnswer) {
      return "the broker closed the connection";
    }
    boolean certificate = settings.broker().tls().flatMap(tls -> tls.certificate()).isPresent();
    if (settings.encrypted() && !certificate) {
      return "the broker closed the connection before it answered; it may demand a client"
          + " certificate, none is configured";
    }
    return settings.encrypted()
        ? "the broker closed the connection before it answered"
        : "the broker closed the connection before it answered; is mqtts:// meant?";
  }

  private String where() {
    return settings.host() + ":" + settings.port();
  }

  private static String unknown(@Nullable Throwable failure) {
    return failure == null ? "the connection was lost" : String.valueOf(failure.getMessage());
  }
}
