/** What is published, apart from how: topics and payloads of the agent's own. */
@NullMarked
package org.borewarden.agent.publish;

import org.jspecify.annotations.NullMarked;
