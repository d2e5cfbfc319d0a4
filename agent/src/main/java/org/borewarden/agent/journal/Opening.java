package org.borewarden.agent.journal;

import java.io.IOException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Finds a sound journal in a locked folder, begins one, or puts a damaged one away first.
 *
 * @param found where the journal ends
 * @param opened what the agent is told
 */
record Opening(OpenCheck.Sound found, JournalOpened opened) {
  private static final Logger LOG = LoggerFactory.getLogger(Opening.class);

  static Opening of(JournalFolder folder, Connector connector, Instant now, String appVersion)
      throws IOException, SQLException {
    if (!folder.exists()) {
      return begin(folder, connector, now, appVersion, Optional.empty());
    }
    OpenCheck.Outcome outcome = look(folder, connector);
    if (outcome instanceof OpenCheck.Sound sound) {
      if (sound.layout() < Schema.VERSION) {
        upgrade(folder, connector, sound.layout());
      }
      return opened(folder, connector, now, sound, false, Optional.empty());
    }
    String why = ((OpenCheck.Damaged) outcome).why();
    Path away = folder.setAside(now);
    return begin(
        folder, connector, now, appVersion, Optional.of(new JournalOpened.SetAside(away, why)));
  }

  private static Opening opened(
      JournalFolder folder,
      Connector connector,
      Instant now,
      OpenCheck.Sound sound,
      boolean fresh,
      Optional<JournalOpened.SetAside> setAside)
      throws IOException, SQLException {
    try (Connection connection = connector.writer()) {
      Optional<String> toAdopt = Adoption.look(connection, folder, sound.lastSeq(), now);
      JournalIds ids = Adoption.ids(connection);
      connection.commit();
      return new Opening(
          sound,
          new JournalOpened(
              Tables.journalId(connection),
              sound.lastSeq(),
              fresh,
              fresh ? setAside.isEmpty() : sound.cleanStop(),
              setAside,
              toAdopt,
              ids));
    }
  }

  /** Only a journal that was found sound is brought to a newer layout. */
  private static void upgrade(JournalFolder folder, Connector connector, int layout)
      throws SQLException {
    try (Connection connection = connector.writer()) {
      Schema.upgrade(connection);
      LOG.info("the journal was brought from layout {} to layout {}", layout, Schema.VERSION);
      if (folder.freeBytes() > 2 * Space.bytes(connection)) {
        Space.makeRetirable(connection);
      } else {
        LOG.warn("too little free space to rewrite the journal: space it frees stays in its file");
      }
    }
  }

  private static OpenCheck.Outcome look(JournalFolder folder, Connector connector)
      throws IOException, SQLException {
    Optional<String> mark = folder.markedDamaged();
    if (mark.isPresent()) {
      return new OpenCheck.Damaged(mark.get());
    }
    return folder.hasFile()
        ? OpenCheck.look(connector)
        : new OpenCheck.Damaged("its file is missing");
  }

  private static Opening begin(
      JournalFolder folder,
      Connector connector,
      Instant now,
      String appVersion,
      Optional<JournalOpened.SetAside> setAside)
      throws IOException, SQLException {
    folder.create(now, appVersion);
    if (OpenCheck.look(connector) instanceof OpenCheck.Sound sound) {
      return opened(folder, connector, now, sound, true, setAside);
    }
    throw new IOException("the journal that was just made cannot be read");
  }
}
