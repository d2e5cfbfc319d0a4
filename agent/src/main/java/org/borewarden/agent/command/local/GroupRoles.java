package org.borewarden.agent.command.local;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.borewarden.rules.engine.Role;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The roles that a user has by groups: the primary group, which the kernel tells, and the groups
 * whose line in the group file names the user. Groups of a directory service are not seen.
 */
final class GroupRoles {
  /** The group file of Linux. */
  static final Path GROUP_FILE = Path.of("/etc/group");

  private static final Logger LOG = LoggerFactory.getLogger(GroupRoles.class);
  private static final int MEMBERS = 3;

  private final Map<String, Role> roles = new HashMap<>();
  private final Path groupFile;

  GroupRoles(Map<String, String> groups, Path groupFile) {
    this.groupFile = groupFile;
    groups.forEach(
        (group, key) ->
            Arrays.stream(Role.values())
                .filter(role -> role.key().equals(key))
                .forEach(role -> roles.put(group, role)));
  }

  SortedSet<Role> of(String user, String primaryGroup) {
    SortedSet<Role> found = new TreeSet<>();
    add(found, primaryGroup);
    try (Stream<String> lines = Files.lines(groupFile, StandardCharsets.ISO_8859_1)) {
      lines
          .map(line -> line.split(":", -1))
          .filter(line -> line.length == MEMBERS + 1)
          .filter(line -> Arrays.asList(line[MEMBERS].split(",", -1)).contains(user))
          .forEach(line -> add(found, line[0]));
    } catch (IOException | java.io.UncheckedIOException unreadable) {
      LOG.warn(
          "{} cannot be read, only primary groups count: {}", groupFile, unreadable.toString());
    }
    return found;
  }

  private void add(SortedSet<Role> found, String group) {
    Role role = roles.get(group);
    if (role != null) {
      found.add(role);
    }
  }
}
