package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.io.IOException;
import java.io.OutputStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.borewarden.agent.command.local.LocalClient;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.Verify;
import org.borewarden.rules.file.yaml.Outcome;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code support}: gathers what somebody needs who helps, and no secret. */
@Command(
    name = "support",
    description = {
      "Gathers into a zip file what somebody needs who helps, without secrets.",
      "Both files, what check says of them, how the holds stand, the metrics, whether the journal is whole. Look into it before you send it.",
      "No password, no key, no user name, no reading and no person is in it."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:written; what could not be had is named in it",
      "2:the command line is wrong",
      "3:it cannot be written"
    },
    mixinStandardHelpOptions = true)
public final class SupportCommand implements Callable<Integer> {
  private static final int FAILED = 3;
  private static final Duration PATIENCE = Duration.ofSeconds(5);

  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      defaultValue = "agent.yaml",
      description = "The config file (default: ${DEFAULT-VALUE}).")
  private Path config = Path.of("agent.yaml");

  @Parameters(paramLabel = "ZIP", description = "The file to write; it must not be there.")
  private Path zip = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public SupportCommand() {}

  @Override
  public Integer call() {
    Map<String, String> parts = new LinkedHashMap<>();
    ReadFiles files = ReadFiles.of(config);
    parts.put("machine.txt", machine());
    parts.put("agent.yaml", hidden(text(config)));
    parts.put("rules.yaml", files.rulesText());
    parts.put(
        "check.txt",
        files.problems().isEmpty() ? "no problem found\n" : String.join("\n", files.problems()));
    if (files.config() instanceof Outcome.Good<AgentConfig> good) {
      parts.put("holds.json", holds(good.value()));
      parts.put("metrics.txt", metrics(good.value()));
      parts.put("journal.txt", journal(good.value()));
    }
    CommandLine line = spec.commandLine();
    try (OutputStream out = Files.newOutputStream(zip, StandardOpenOption.CREATE_NEW);
        ZipOutputStream into = new ZipOutputStream(out, StandardCharsets.UTF_8)) {
      for (Map.Entry<String, String> part : parts.entrySet()) {
        into.putNextEntry(new ZipEntry("borewarden-support/" + part.getKey()));
        into.write(part.getValue().getBytes(StandardCharsets.UTF_8));
        into.closeEntry();
      }
    } catch (NoSuchFileException noFolder) {
      line.getErr().println("cannot write " + zip + ": there is no such folder");
      return FAILED;
    } catch (FileAlreadyExistsException there) {
      line.getErr().println("cannot write " + zip + ": expected no such file yet, found one");
      return FAILED;
    } catch (IOException e) {
      line.getErr().println("cannot write " + zip + ": " + e);
      return FAILED;
    }
    line.getOut().println("written: " + zip + " with " + String.join(", ", parts.keySet()));
    return CommandLine.ExitCode.OK;
  }

  private String machine() {
    Map<String, String> facts = new TreeMap<>();
    for (String key : List.of("java.version", "java.vm.name", "os.name", "os.version", "os.arch")) {
      facts.put(key, String.valueOf(System.getProperty(key)));
    }
    facts.put("processors", Integer.toString(Runtime.getRuntime().availableProcessors()));
    facts.put("version", String.join(" ", spec.root().version()));
    StringBuilder all = new StringBuilder();
    facts.forEach((key, value) -> all.append(key).append(": ").append(value).append('\n'));
    return all.toString();
  }

  /** Values are cut from the text, so that comments and places stay as they are. */
  static String hidden(String agentYaml) {
    return agentYaml
        .replaceAll("(?s)(\\b(?:groups|keys):\\s*)\\{.*?\\}", "$1{hidden: hidden}")
        .replaceAll("(\\b(?:user|client-id):\\s*)([^\\s,}]+)", "$1hidden")
        .replaceAll(
            "(?m)(^ *(?:groups|keys): *(?:#.*)?\\n)((?: {4,}.*\\n?)+)", "$1      hidden: hidden\n");
  }

  private static String text(Path file) {
    try {
      return Files.readString(file, StandardCharsets.UTF_8);
    } catch (IOException unreadable) {
      return "# cannot be read: " + unreadable + "\n";
    }
  }

  private static String holds(AgentConfig agent) {
    Optional<Path> socket = agent.commands().socket();
    if (socket.isEmpty()) {
      return "no socket in agent.yaml";
    }
    try (LocalClient client = LocalClient.connect(socket.get())) {
      return Orders.ask(client, JsonNodeFactory.instance.objectNode().put("query", "holds"))
          .toPrettyString()
          .replaceAll("(\"(?:challenge|by)\" : )\"[^\"]*\"", "$1\"hidden\"");
    } catch (IOException unreached) {
      return "no agent answers: " + unreached;
    }
  }

  private static String metrics(AgentConfig agent) {
    if (!agent.http().enabled()) {
      return "http is off in agent.yaml";
    }
    URI page = URI.create("http://" + agent.http().host() + ":" + agent.http().port() + "/metrics");
    try {
      return HttpClient.newBuilder()
          .connectTimeout(PATIENCE)
          .build()
          .send(
              HttpRequest.newBuilder(page).timeout(PATIENCE).build(),
              HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8))
          .body();
    } catch (IOException unreached) {
      return "no metrics: " + unreached;
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
      return "no metrics: interrupted";
    }
  }

  private static String journal(AgentConfig agent) {
    try {
      return Verify.journalFolder(agent.data().resolve("journal")).toString();
    } catch (JournalException unreadable) {
      return unreadable.toString();
    }
  }
}
