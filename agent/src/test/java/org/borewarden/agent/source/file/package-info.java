/** Tests of followed files and standard input, against a shell. */
@NullMarked
package org.borewarden.agent.source.file;

import org.jspecify.annotations.NullMarked;
