package org.borewarden.agent;

import java.util.Optional;
import picocli.CommandLine.IVersionProvider;

/** The version of the agent, from its package. */
final class Version implements IVersionProvider {
  /** For example {@code 0.1.0}; {@code unpackaged} when run from class files. */
  static final String TEXT =
      Optional.ofNullable(Version.class.getPackage().getImplementationVersion())
          .orElse("unpackaged");

  @Override
  public String[] getVersion() {
    return new String[] {"borewarden " + TEXT};
  }
}
