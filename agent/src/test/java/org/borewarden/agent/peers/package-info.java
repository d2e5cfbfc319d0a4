/** Real peers for tests: brokers and tools that are installed, or skipped by name. */
@NullMarked
package org.borewarden.agent.peers;

import org.jspecify.annotations.NullMarked;
