package org.borewarden.agent.command.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.nimbusds.jose.JWSAlgorithm;
import com.nimbusds.jose.JWSHeader;
import com.nimbusds.jose.JWSObject;
import com.nimbusds.jose.Payload;
import com.nimbusds.jose.crypto.MACSigner;
import com.nimbusds.jose.util.Base64URL;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyPair;
import java.security.KeyPairGenerator;
import java.security.Signature;
import java.util.Base64;
import java.util.Map;
import java.util.Set;
import org.borewarden.rules.engine.Role;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SignedCommandsTest {
  private static final String TOPIC = "root/command/supervisor/release";
  private static final byte[] SECRET =
      "0123456789abcdef0123456789abcdef".getBytes(StandardCharsets.US_ASCII);
  private static final String TEXT = "{\"id\":\"x\"}";

  private final KeyPair pair;
  private SignedCommands signed;

  SignedCommandsTest(@TempDir Path folder) throws Exception {
    pair = KeyPairGenerator.getInstance("Ed25519").generateKeyPair();
    Path publicKey = folder.resolve("mara.pem");
    Files.writeString(
        publicKey,
        "-----BEGIN PUBLIC KEY-----\n"
            + Base64.getMimeEncoder().encodeToString(pair.getPublic().getEncoded())
            + "\n-----END PUBLIC KEY-----\n");
    Path secret = folder.resolve("shared.key");
    Files.writeString(secret, Base64.getEncoder().encodeToString(SECRET) + "\n");
    signed = SignedCommands.load(Map.of("supervisor-mara", publicKey, "setter-shift", secret));
  }

  @BeforeEach
  void twoKeysAreKnown() {
    assertThat(signed).isNotNull();
  }

  @Test
  void whatAKnownKeySignedForThisTopicIsGood() throws Exception {
    assertThat(signed.prove(TOPIC, Role.SUPERVISOR, edwards("supervisor-mara", TOPIC, TEXT)))
        .isEqualTo(new SignedCommands.Proof.Good("supervisor-mara", bytes(TEXT)));
    String topic = "root/command/setter/release";
    assertThat(signed.prove(topic, Role.SETTER, shared("setter-shift", topic)))
        .isEqualTo(new SignedCommands.Proof.Good("setter-shift", bytes(TEXT)));
  }

  @Test
  void aSignatureForAnotherTopicIsWorthNothing() throws Exception {
    ByteBuffer other = edwards("supervisor-mara", "root/command/supervisor/bypass", TEXT);
    assertBad(TOPIC, Role.SUPERVISOR, other, "is not the topic it came on");
  }

  @Test
  void aKeyOfAnotherRoleIsWorthNothing() throws Exception {
    assertBad(TOPIC, Role.SUPERVISOR, shared("setter-shift", TOPIC), "may not act as supervisor");
  }

  @Test
  void aChangedPayloadIsNotProved() throws Exception {
    String compact =
        StandardCharsets.US_ASCII.decode(edwards("supervisor-mara", TOPIC, TEXT)).toString();
    String[] parts = compact.split("\\.", -1);
    String forged = parts[0] + "." + Base64URL.encode("{\"id\":\"y\"}") + "." + parts[2];
    assertBad(TOPIC, Role.SUPERVISOR, bytes(forged), "the signature is not by key");
  }

  @Test
  void theMessageCannotChooseTheAlgorithm() throws Exception {
    // Signed with the public key's bytes as if they were a shared secret.
    JWSObject confused =
        new JWSObject(
            new JWSHeader.Builder(JWSAlgorithm.HS256)
                .keyID("supervisor-mara")
                .customParam("topic", TOPIC)
                .build(),
            new Payload(TEXT));
    confused.sign(new MACSigner(pair.getPublic().getEncoded()));
    assertBad(TOPIC, Role.SUPERVISOR, bytes(confused.serialize()), "the signature is not by key");
    String none =
        Base64URL.encode("{\"alg\":\"none\",\"kid\":\"supervisor-mara\"}")
            + "."
            + Base64URL.encode(TEXT)
            + ".";
    assertBad(TOPIC, Role.SUPERVISOR, bytes(none), "expected a compact JWS");
  }

  @Test
  void whatIsNotSignedAtAllOrByNobodyKnownIsBad() throws Exception {
    assertBad(TOPIC, Role.SUPERVISOR, bytes(TEXT), "expected a compact JWS");
    assertBad(
        TOPIC, Role.SUPERVISOR, edwards("supervisor-otto", TOPIC, TEXT), "no key is configured");
    assertBad(TOPIC, Role.SUPERVISOR, bytes("x".repeat(9000)), "longer than");
  }

  @Test
  void aCriticalHeaderThatWeDoNotKnowIsRefused() throws Exception {
    JWSHeader header =
        new JWSHeader.Builder(JWSAlgorithm.EdDSA)
            .keyID("supervisor-mara")
            .customParam("topic", TOPIC)
            .criticalParams(Set.of("topic"))
            .build();
    assertBad(TOPIC, Role.SUPERVISOR, sign(header, TEXT), "'crit' is not supported");
  }

  @Test
  void aKeyFileThatIsNoneIsNamed(@TempDir Path folder) throws Exception {
    Path weak = Files.writeString(folder.resolve("weak"), "c2hvcnQ=");
    assertThatThrownBy(() -> SignedCommands.load(Map.of("it-ops", weak)))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("key it-ops")
        .hasMessageContaining("5 bytes, at least 32");
    Path junk = Files.writeString(folder.resolve("junk"), "not base64 !");
    assertThatThrownBy(() -> SignedCommands.load(Map.of("it-ops", junk)))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("expected in " + junk);
  }

  private void assertBad(String topic, Role role, ByteBuffer message, String words) {
    SignedCommands.Proof proof = signed.prove(topic, role, message);
    assertThat(proof).isInstanceOf(SignedCommands.Proof.Bad.class);
    assertThat(((SignedCommands.Proof.Bad) proof).detail()).contains(words);
  }

  private ByteBuffer edwards(String key, String topic, String text) throws Exception {
    return sign(
        new JWSHeader.Builder(JWSAlgorithm.EdDSA).keyID(key).customParam("topic", topic).build(),
        text);
  }

  private ByteBuffer sign(JWSHeader header, String text) throws Exception {
    String input = header.toBase64URL() + "." + Base64URL.encode(text);
    Signature signature = Signature.getInstance("Ed25519");
    signature.initSign(pair.getPrivate());
    signature.update(input.getBytes(StandardCharsets.US_ASCII));
    return bytes(input + "." + Base64URL.encode(signature.sign()));
  }

  private static ByteBuffer shared(String key, String topic) throws Exception {
    JWSObject object =
        new JWSObject(
            new JWSHeader.Builder(JWSAlgorithm.HS256)
                .keyID(key)
                .customParam("topic", topic)
                .build(),
            new Payload(TEXT));
    object.sign(new MACSigner(SECRET));
    return bytes(object.serialize());
  }

  private static ByteBuffer bytes(String text) {
    return ByteBuffer.wrap(text.getBytes(StandardCharsets.UTF_8));
  }
}
