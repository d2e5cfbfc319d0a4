package org.borewarden.agent.config;

import java.nio.file.Path;

/**
 * A file that grows a line for each bore.
 *
 * @param file the file
 * @param comma whether numbers have a decimal comma and fields are parted by semicolons, as
 *     spreadsheets of many countries expect; else a point, and commas
 */
public record SheetConfig(Path file, boolean comma) {}
