/**
 * The rules file: YAML to a {@link org.borewarden.rules.part.RuleSet}, or to everything that is
 * wrong with it. {@link org.borewarden.rules.file.RulesFile} is the door; the reference for people
 * is docs/rules-file.md, the schema for editors docs/rules.schema.json.
 */
@NullMarked
package org.borewarden.rules.file;

import org.jspecify.annotations.NullMarked;
