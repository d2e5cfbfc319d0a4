package org.borewarden.agent.acceptance;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.borewarden.agent.peers.Peers;

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
}
