/** agent.yaml: where things are, as values or as located problems. */
@NullMarked
package org.borewarden.agent.config;

import org.jspecify.annotations.NullMarked;
