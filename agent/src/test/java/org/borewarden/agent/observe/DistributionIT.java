package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What IT unpacks, and how its start script calls Java: with a Java that only says how. */
class DistributionIT {
  private static final Path DIST =
      Path.of(Optional.ofNullable(System.getProperty("borewarden.dist")).orElseThrow());

  @TempDir private Path folder;

  @Test
  void itHoldsScriptsJarsNativeLibrariesAndTheLicence() throws IOException {
    assertThat(DIST.resolve("LICENSE")).isRegularFile();
    assertThat(DIST.resolve("bin/borewarden")).isExecutable();
    assertThat(DIST.resolve("bin/borewarden.cmd")).isRegularFile();
    for (String machine : List.of("linux-x86_64", "linux-aarch64", "linux-armv7")) {
      assertThat(names(DIST.resolve("native/" + machine)))
          .containsExactly("libjSerialComm.so", "libjnidispatch.so", "libsqlitejdbc.so");
    }
    assertThat(names(DIST.resolve("native/windows-x86_64")))
        .containsExactly("jSerialComm.dll", "jnidispatch.dll", "sqlitejdbc.dll");
    assertThat(names(DIST.resolve("lib")))
        .anyMatch(name -> name.startsWith("borewarden-agent-"))
        .anyMatch(name -> name.startsWith("borewarden-engine-"))
        .anyMatch(name -> name.startsWith("logback-classic-"))
        .noneMatch(name -> name.matches("(junit|assertj|awaitility|archunit|artemis).*"));
  }

  @Test
  void theArchivesUnpackToTheSameWithTheScriptExecutable() throws Exception {
    String name = DIST.getFileName().toString();
    Path beside = DIST.resolve("../..").toAbsolutePath().normalize();
    Path archive = beside.resolve(name + ".tar.gz");
    assertThat(beside.resolve(name + ".zip")).isRegularFile();
    Ran ran = Ran.run(folder, Map.of(), List.of("tar", "-xzf", archive.toString()));
    assertThat(ran.exit()).as(ran.output()).isZero();
    Ran same =
        Ran.run(folder, Map.of(), List.of("diff", "-r", name, DIST.toAbsolutePath().toString()));
    assertThat(same.output()).isEmpty();
    assertThat(folder.resolve(name).resolve("bin/borewarden")).isExecutable();
  }

  @Test
  void theJavaOfJavaHomeIsCalledWithTheDefaults() throws Exception {
    List<String> words = started(Map.of("JAVA_HOME", java("17.0.15")), "run", "a b", "--x=*");
    assertThat(words)
        .startsWith(
            "-Xmx64m",
            "-XX:+UseSerialGC",
            "-XX:TieredStopAtLevel=1",
            "-XX:-OmitStackTraceInFastThrow",
            "-XX:+ExitOnOutOfMemoryError",
            "-Dsun.net.httpserver.nodelay=true")
        .endsWith(
            "-cp",
            DIST.toRealPath() + "/lib/*",
            "org.borewarden.agent.Main",
            "run",
            "a b",
            "--x=*");
    assertThat(words).noneMatch(word -> word.startsWith("-Dborewarden.log.dir"));
  }

  @Test
  void optionsOfTheOperatorComeAfterTheDefaultsAndWin() throws Exception {
    List<String> words =
        started(
            Map.of(
                "JAVA_HOME",
                java("21"),
                "BOREWARDEN_JAVA_OPTS",
                "-Xmx96m -Dborewarden.log.level=DEBUG",
                "BOREWARDEN_LOG_DIR",
                folder + "/my logs"),
            "run");
    assertThat(words)
        .containsSubsequence("-Xmx64m", "-Xmx96m", "-Dborewarden.log.level=DEBUG", "-cp")
        .contains("-Dborewarden.log.dir=" + folder + "/my logs");
  }

  @Test
  void theShippedNativeLibrariesAreNamedWhereThereAreSome() throws Exception {
    assumeTrue(linuxOnX86(), "skipped: not Linux with the GNU C library on x86_64");
    Path shipped = DIST.toRealPath().resolve("native/linux-x86_64");
    assertThat(started(Map.of("JAVA_HOME", java("17.0.15"))))
        .contains(
            "-DjSerialComm.library.path=" + shipped,
            "-Djna.boot.library.path=" + shipped,
            "-Djna.nounpack=true",
            "-Dorg.sqlite.lib.path=" + shipped,
            "-Dorg.sqlite.lib.name=libsqlitejdbc.so");
  }

  @Test
  void theScriptIsFoundThroughALink() throws Exception {
    Path link = folder.resolve("borewarden");
    Files.createSymbolicLink(link, DIST.toAbsolutePath().resolve("bin/borewarden"));
    Ran ran = Ran.run(folder, Map.of("JAVA_HOME", java("17")), List.of(link.toString(), "run"));
    assertThat(ran.output().lines()).contains(DIST.toRealPath() + "/lib/*");
  }

  @Test
  void anOldOrMissingJavaIsSaidWithWhatWasExpected() throws Exception {
    Ran old = script(Map.of("JAVA_HOME", java("11.0.2")), "run");
    assertThat(old.exit()).isEqualTo(2);
    assertThat(old.output()).contains("expected Java 17 or newer, found 11 at ");
    Ran ancient = script(Map.of("JAVA_HOME", java("1.8.0_402")), "run");
    assertThat(ancient.output()).contains("expected Java 17 or newer, found 1 at ");
    Ran missing = script(Map.of("JAVA_HOME", folder + "/nowhere"), "run");
    assertThat(missing.exit()).isEqualTo(2);
    assertThat(missing.output()).contains("JAVA_HOME is " + folder + "/nowhere, but");
  }

  @Test
  void allNativeLibrariesLoadFromTheDistributionWithoutATemporaryFolder() throws Exception {
    assumeTrue(linuxOnX86(), "skipped: not Linux with the GNU C library on x86_64");
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    started(Map.of("JAVA_HOME", java("17"))).stream()
        .takeWhile(word -> !word.equals("-cp"))
        .forEach(command::add);
    command.addAll(List.of("-Djava.io.tmpdir=" + folder + "/no-such", "-cp"));
    command.add(Path.of("target/test-classes").toAbsolutePath() + ":" + DIST + "/lib/*");
    command.add(NativeProbe.class.getName());
    Ran ran = Ran.run(folder, Map.of(), command);
    String shipped = DIST.toRealPath() + "/native/linux-x86_64/";
    assertThat(ran.output().lines().filter(line -> line.startsWith("LOADED ")))
        .as(ran.output())
        .containsExactlyInAnyOrder(
            "LOADED " + shipped + "libjSerialComm.so",
            "LOADED " + shipped + "libjnidispatch.so",
            "LOADED " + shipped + "libsqlitejdbc.so");
  }

  private static boolean linuxOnX86() throws IOException {
    try (Stream<Path> lib = Files.list(Path.of("/lib"))) {
      return System.getProperty("os.name").equals("Linux")
          && System.getProperty("os.arch").equals("amd64")
          && lib.noneMatch(file -> file.getFileName().toString().startsWith("ld-musl-"));
    }
  }

  /** A Java that tells its version, and else says each word that it was called with. */
  private String java(String version) throws IOException {
    Path home = Files.createTempDirectory(folder, "java");
    Path java = Files.createDirectories(home.resolve("bin")).resolve("java");
    Files.writeString(
        java,
        "#!/bin/sh\n[ \"$1\" != -version ] || { echo 'openjdk version \""
            + version
            + "\" 2025-04-15' >&2; exit 0; }\nprintf '%s\\n' \"$@\"\n");
    Files.setPosixFilePermissions(java, PosixFilePermissions.fromString("rwxr-xr-x"));
    return home.toString();
  }

  private List<String> started(Map<String, String> environment, String... words) throws Exception {
    Ran ran = script(environment, words);
    assertThat(ran.exit()).as(ran.output()).isZero();
    return ran.output().lines().toList();
  }

  private Ran script(Map<String, String> environment, String... words) throws Exception {
    List<String> command = new ArrayList<>();
    command.add(DIST.resolve("bin/borewarden").toAbsolutePath().toString());
    command.addAll(List.of(words));
    return Ran.run(folder, environment, command);
  }

  private static List<String> names(Path folder) throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.map(file -> file.getFileName().toString()).sorted().toList();
    }
  }
}
