package org.borewarden.agent.config;

import java.nio.file.Path;

/**
 * A file that another program adds lines to.
 *
 * @param path the file
 * @param fromStart whether a file that was never read before is read from its start, else only what
 *     is added from now on
 */
public record FollowLink(Path path, boolean fromStart) implements PortConfig.Link {}
