/**
 * What stands in the journal and on the topics: one class per payload, and the codecs between
 * events or decisions and their JSON bodies.
 */
@NullMarked
package org.borewarden.agent.payload;

import org.jspecify.annotations.NullMarked;
