package org.borewarden.agent.mqtt;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.util.Optional;
import org.borewarden.agent.config.Secret;

/** Fetches a secret from where the config says it is. Never logs or repeats it. */
final class Secrets {
  private Secrets() {}

  static String read(Secret secret) throws LinkException {
    if (secret instanceof Secret.InEnvironment variable) {
      return Optional.ofNullable(System.getenv(variable.name()))
          .orElseThrow(
              () ->
                  new LinkException(
                      "password: the environment variable " + variable.name() + " is not set",
                      null));
    }
    Secret.InFile file = (Secret.InFile) secret;
    try (BufferedReader reader = Files.newBufferedReader(file.path(), StandardCharsets.UTF_8)) {
      return Optional.ofNullable(reader.readLine())
          .orElseThrow(() -> new LinkException("password: " + file.path() + " is empty", null));
    } catch (IOException unreadable) {
      throw new LinkException("password: " + file.path() + " cannot be read", unreadable);
    }
  }
}
