package org.borewarden.agent.config;

import java.nio.file.Path;

/** Where a secret is: in a file or an environment variable; never in the config itself. */
public sealed interface Secret {
  /**
   * The first line of a file.
   *
   * @param path the file
   */
  record InFile(Path path) implements Secret {}

  /**
   * An environment variable.
   *
   * @param name its name
   */
  record InEnvironment(String name) implements Secret {}
}
