/**
 * Strict YAML: text to a tree that knows line and column, and typed readers over it that collect
 * every problem instead of stopping at the first.
 *
 * <p>A file is read in three steps. {@link org.borewarden.rules.file.yaml.FileText} turns bytes
 * into text, {@link org.borewarden.rules.file.yaml.YamlTree} turns text into {@link
 * org.borewarden.rules.file.yaml.Node}s, and {@link org.borewarden.rules.file.yaml.Fields} with its
 * {@link org.borewarden.rules.file.yaml.Reader}s turns nodes into values. A scalar stays text until
 * a reader asks for a type, so that {@code on}, {@code no} and {@code 12:30} mean what they say and
 * not what a YAML version makes of them.
 */
@NullMarked
package org.borewarden.rules.file.yaml;

import org.jspecify.annotations.NullMarked;
