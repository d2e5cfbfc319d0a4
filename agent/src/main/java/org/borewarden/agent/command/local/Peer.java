package org.borewarden.agent.command.local;

import java.io.IOException;
import java.nio.channels.SocketChannel;
import java.util.SortedSet;
import jdk.net.ExtendedSocketOptions;
import jdk.net.UnixDomainPrincipal;
import org.borewarden.rules.engine.Role;

/**
 * Who is at the other end of a connection, as the kernel says.
 *
 * @param user the user's name, or number where it has none
 * @param roles the roles of the user's groups
 */
record Peer(String user, SortedSet<Role> roles) {
  static Peer of(SocketChannel channel, GroupRoles groups) throws IOException {
    UnixDomainPrincipal proved = channel.getOption(ExtendedSocketOptions.SO_PEERCRED);
    String user = proved.user().getName();
    return new Peer(user, groups.of(user, proved.group().getName()));
  }

  String provedAs() {
    return "local:" + user;
  }
}
