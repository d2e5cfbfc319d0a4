package org.borewarden.agent.acceptance;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;

/** Runs a foreign client program to its end. */
final class Client {
  private Client() {}

  static String run(String program, String... arguments) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>();
    command.add(Peers.require(program).toString());
    command.addAll(List.of(arguments));
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    int exit = process.waitFor();
    if (exit != 0) {
      throw new AssertionError(program + " ended with " + exit + ": " + said);
    }
    return said.strip();
  }

  /** Sends a command in a role over MQTT 5 and gives what came on its response topic. */
  static String ask(TestBroker broker, String role, String name, String command)
      throws IOException, InterruptedException {
    return run(
        "mosquitto_rr",
        "-p",
        "" + broker.port(),
        "-V",
        "5",
        "-q",
        "1",
        "-W",
        "30",
        "-t",
        Plant.ROOT + "/command/" + role + "/" + name,
        "-e",
        Plant.ROOT + "/answer/office",
        "-m",
        command);
  }
}
