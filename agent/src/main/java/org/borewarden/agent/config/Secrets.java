package org.borewarden.agent.config;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;

/**
 * Fetches secrets from where the config says they are. A secret is never printed: messages name the
 * place only, and never what stands there.
 */
public final class Secrets {
  /** The longest secret file, bytes. */
  public static final int LONGEST_BYTES = 4_096;

  private static final Set<PosixFilePermission> OTHERS =
      Set.of(
          PosixFilePermission.GROUP_READ,
          PosixFilePermission.GROUP_WRITE,
          PosixFilePermission.OTHERS_READ,
          PosixFilePermission.OTHERS_WRITE);

  private final Function<String, Optional<String>> environment;

  /**
   * Fetches from files and from a given environment.
   *
   * @param environment the environment variables, by name
   */
  public Secrets(Function<String, Optional<String>> environment) {
    this.environment = environment;
  }

  /**
   * Fetches from files and from the environment of this process.
   *
   * @return the secrets
   */
  public static Secrets ofThisProcess() {
    return new Secrets(name -> Optional.ofNullable(System.getenv(name)));
  }

  /**
   * Fetches a secret. A file is read anew each time, so that a changed password counts at the next
   * connection.
   *
   * @param secret where it is
   * @return its characters, for the caller to wipe; of a file, those of the first line
   * @throws SecretException when it cannot be had
   */
  public char[] read(Secret secret) throws SecretException {
    if (secret instanceof Secret.InEnvironment variable) {
      return environment
          .apply(variable.name())
          .filter(value -> !value.isEmpty())
          .orElseThrow(
              () ->
                  new SecretException(
                      "the environment variable " + variable.name() + " is not set"))
          .toCharArray();
    }
    Path path = ((Secret.InFile) secret).path();
    Optional<String> complaint = complaint(path);
    if (complaint.isPresent()) {
      throw new SecretException("the secret in " + path + ": " + complaint.get());
    }
    return firstLine(path);
  }

  private static char[] firstLine(Path path) throws SecretException {
    try {
      String text = Files.readString(path, StandardCharsets.UTF_8);
      String line = text.lines().findFirst().orElse("");
      if (line.isEmpty()) {
        throw new SecretException("the secret in " + path + ": the first line is empty");
      }
      return line.toCharArray();
    } catch (IOException e) {
      throw new SecretException(
          "the secret in " + path + " cannot be read: " + e.getClass().getSimpleName());
    }
  }

  /** Whether a variable is set. */
  boolean isSet(String name) {
    return environment.apply(name).filter(value -> !value.isEmpty()).isPresent();
  }

  /** What keeps a file from being a place for a secret, without its name. */
  static Optional<String> complaint(Path path) {
    if (!Files.isRegularFile(path) || !Files.isReadable(path)) {
      return Optional.of("expected a readable file, found none");
    }
    try {
      if (Files.size(path) > LONGEST_BYTES) {
        return Optional.of("expected at most " + LONGEST_BYTES + " bytes, found more");
      }
      return openToOthers(path);
    } catch (IOException e) {
      return Optional.of("expected a readable file, found none");
    }
  }

  /** On systems with file modes; elsewhere the access list is the administrator's to check. */
  private static Optional<String> openToOthers(Path path) throws IOException {
    PosixFileAttributeView view = Files.getFileAttributeView(path, PosixFileAttributeView.class);
    if (view == null) {
      return Optional.empty();
    }
    Set<PosixFilePermission> modes = view.readAttributes().permissions();
    return modes.stream().noneMatch(OTHERS::contains)
        ? Optional.empty()
        : Optional.of(
            "expected a file that only its owner can read (chmod 600), found "
                + PosixFilePermissions.toString(modes));
  }
}
