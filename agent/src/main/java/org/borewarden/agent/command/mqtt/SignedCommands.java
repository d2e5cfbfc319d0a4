package org.borewarden.agent.command.mqtt;

import com.nimbusds.jose.JOSEException;
import com.nimbusds.jose.JWSAlgorithm;
import com.nimbusds.jose.JWSHeader;
import com.nimbusds.jose.JWSObject;
import com.nimbusds.jose.crypto.MACVerifier;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyFactory;
import java.security.PublicKey;
import java.security.Signature;
import java.security.spec.X509EncodedKeySpec;
import java.text.ParseException;
import java.util.Base64;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.engine.Role;

/**
 * Proves signed commands: a compact JWS (RFC 7515) by a configured key, Ed25519 (RFC 8037) or HMAC
 * with SHA-256. What a key file holds decides the algorithm, never the message. The protected
 * header names the key and the whole topic, so that what was signed for one command, role or cell
 * is worth nothing on another topic; a key's id begins with the role that it may act in.
 * Thread-safe.
 */
final class SignedCommands {
  private static final String PUBLIC_BEGIN = "-----BEGIN PUBLIC KEY-----";
  private static final String PUBLIC_END = "-----END PUBLIC KEY-----";
  private static final String TOPIC = "topic";
  private static final int LONGEST_KEY_FILE = 8192;
  private static final int SHORTEST_SECRET_BYTES = 32;
  private static final int LONGEST_COMMAND = 8192;

  private final Map<String, Key> keys;

  /** A key that may sign. */
  private sealed interface Key {
    /**
     * A public key.
     *
     * @param key Ed25519
     */
    record Edwards(PublicKey key) implements Key {}

    /**
     * A shared secret.
     *
     * @param verifier made from it
     */
    record Shared(MACVerifier verifier) implements Key {}
  }

  /** What the proof gave. */
  sealed interface Proof {
    /**
     * The signature is good.
     *
     * @param key the key's id
     * @param payload what was signed
     */
    record Good(String key, ByteBuffer payload) implements Proof {}

    /**
     * It is not.
     *
     * @param detail expected and found
     * @param key the key's id as the message claims it, if it claims one
     */
    record Bad(String detail, Optional<String> key) implements Proof {}
  }

  private SignedCommands(Map<String, Key> keys) {
    this.keys = Map.copyOf(keys);
  }

  /**
   * Reads the key files.
   *
   * @param files the files by key id
   * @return what proves commands by them
   * @throws IOException when a file cannot be read or holds no key; the message says which
   */
  static SignedCommands load(Map<String, Path> files) throws IOException {
    Map<String, Key> keys = new HashMap<>();
    for (Map.Entry<String, Path> file : files.entrySet()) {
      keys.put(file.getKey(), key(file.getKey(), file.getValue()));
    }
    return new SignedCommands(keys);
  }

  private static Key key(String id, Path file) throws IOException {
    if (Files.size(file) > LONGEST_KEY_FILE) {
      throw new IOException("key " + id + ": " + file + " is too long for a key");
    }
    String text = Files.readString(file, StandardCharsets.US_ASCII).strip();
    try {
      return text.startsWith(PUBLIC_BEGIN) ? edwards(text) : shared(id, file, text);
    } catch (GeneralSecurityException | IllegalArgumentException | JOSEException unusable) {
      throw new IOException(
          "key "
              + id
              + ": expected in "
              + file
              + " an Ed25519 public key (PEM) or a base64 secret: "
              + unusable.getMessage(),
          unusable);
    }
  }

  private static Key edwards(String text) throws GeneralSecurityException {
    int end = text.indexOf(PUBLIC_END);
    if (end < 0) {
      throw new IllegalArgumentException("the PEM block does not end");
    }
    byte[] encoded = Base64.getMimeDecoder().decode(text.substring(PUBLIC_BEGIN.length(), end));
    return new Key.Edwards(
        KeyFactory.getInstance("Ed25519").generatePublic(new X509EncodedKeySpec(encoded)));
  }

  private static Key shared(String id, Path file, String text) throws JOSEException, IOException {
    byte[] secret = Base64.getDecoder().decode(text);
    if (secret.length < SHORTEST_SECRET_BYTES) {
      throw new IOException(
          "key "
              + id
              + ": "
              + file
              + " holds "
              + secret.length
              + " bytes, at least "
              + SHORTEST_SECRET_BYTES);
    }
    return new Key.Shared(new MACVerifier(secret));
  }

  /** Proves a message that came on a topic for a role. */
  Proof prove(String topic, Role role, ByteBuffer message) {
    if (message.remaining() > LONGEST_COMMAND) {
      return new Proof.Bad("longer than " + LONGEST_COMMAND + " bytes", Optional.empty());
    }
    JWSObject signed;
    try {
      signed = JWSObject.parse(StandardCharsets.US_ASCII.decode(message.duplicate()).toString());
    } catch (ParseException notSigned) {
      return new Proof.Bad("expected a compact JWS", Optional.empty());
    }
    JWSHeader header = signed.getHeader();
    String id = Optional.ofNullable(header.getKeyID()).orElse("");
    Optional<String> claimed = id.isEmpty() ? Optional.empty() : Optional.of(id);
    Optional<Key> key = Optional.ofNullable(keys.get(id));
    if (key.isEmpty()) {
      return new Proof.Bad("no key is configured under the id in 'kid'", claimed);
    }
    if (header.getCriticalParams() != null && !header.getCriticalParams().isEmpty()) {
      return new Proof.Bad("'crit' is not supported", claimed);
    }
    if (!verified(signed, key.get())) {
      return new Proof.Bad("the signature is not by key " + id, claimed);
    }
    if (!topic.equals(header.getCustomParam(TOPIC))) {
      return new Proof.Bad("'topic' in the protected header is not the topic it came on", claimed);
    }
    if (!id.equals(role.key()) && !id.startsWith(role.key() + "-")) {
      return new Proof.Bad("key " + id + " may not act as " + role.key(), claimed);
    }
    return new Proof.Good(id, ByteBuffer.wrap(signed.getPayload().toBytes()));
  }

  private static boolean verified(JWSObject signed, Key key) {
    try {
      if (key instanceof Key.Shared shared) {
        return JWSAlgorithm.HS256.equals(signed.getHeader().getAlgorithm())
            && signed.verify(shared.verifier());
      }
      return edwardsVerified(signed, (Key.Edwards) key);
    } catch (GeneralSecurityException | JOSEException notProved) {
      return false;
    }
  }

  private static boolean edwardsVerified(JWSObject signed, Key.Edwards key)
      throws GeneralSecurityException {
    JWSAlgorithm algorithm = signed.getHeader().getAlgorithm();
    if (!JWSAlgorithm.EdDSA.equals(algorithm) && !JWSAlgorithm.Ed25519.equals(algorithm)) {
      return false;
    }
    // The JDK's own Ed25519: the JWS library would need a further library for it.
    Signature signature = Signature.getInstance("Ed25519");
    signature.initVerify(key.key());
    signature.update(signed.getSigningInput());
    return signature.verify(signed.getSignature().decode());
  }
}
