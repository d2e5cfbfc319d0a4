package org.borewarden.agent.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Secrets are fetched from their places and never told. */
class SecretsTest {
  @TempDir private Path folder;

  private final Secrets secrets =
      new Secrets(name -> "SET".equals(name) ? Optional.of("Hunter2") : Optional.empty());

  private Secret file(String text, String mode) throws IOException {
    Path path = Files.writeString(folder.resolve("password"), text);
    Files.setPosixFilePermissions(path, PosixFilePermissions.fromString(mode));
    return new Secret.InFile(path);
  }

  @Test
  void theFirstLineOfAFileIsTheSecret() throws Exception {
    assertThat(secrets.read(file("Hunter2\r\nsecond\n", "rw-------")))
        .containsExactly("Hunter2".toCharArray());
    assertThat(secrets.read(file(" with blanks ", "r--------")))
        .containsExactly(" with blanks ".toCharArray());
  }

  @Test
  void aVariableIsTheSecret() throws Exception {
    assertThat(secrets.read(new Secret.InEnvironment("SET")))
        .containsExactly("Hunter2".toCharArray());
  }

  @Test
  void aVariableThatIsNotSetIsNamed() {
    assertThatThrownBy(() -> secrets.read(new Secret.InEnvironment("OTHER")))
        .isInstanceOf(SecretException.class)
        .hasMessage("the environment variable OTHER is not set");
  }

  @Test
  void aFileThatOthersCanReadIsRefusedWithoutItsText() throws IOException {
    Secret open = file("Hunter2", "rw-r-----");
    assertThatThrownBy(() -> secrets.read(open))
        .isInstanceOf(SecretException.class)
        .hasMessage(
            "the secret in "
                + folder.resolve("password")
                + ": expected a file that only its owner can read (chmod 600), found rw-r-----");
  }

  @Test
  void anEmptyOrMissingOrLongFileIsRefused() throws IOException {
    Path path = folder.resolve("password");
    Secret empty = file("\nsecond\n", "rw-------");
    assertThatThrownBy(() -> secrets.read(empty))
        .hasMessage("the secret in " + path + ": the first line is empty");
    Secret missing = new Secret.InFile(folder.resolve("nowhere"));
    assertThatThrownBy(() -> secrets.read(missing))
        .hasMessage(
            "the secret in "
                + folder.resolve("nowhere")
                + ": expected a readable file, found none");
    Secret tooLong = file("x".repeat(Secrets.LONGEST_BYTES + 1), "rw-------");
    assertThatThrownBy(() -> secrets.read(tooLong))
        .hasMessage("the secret in " + path + ": expected at most 4096 bytes, found more");
  }
}
