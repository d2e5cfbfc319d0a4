/** What the service manager hears, at a socket that is not ours. */
@NullMarked
package org.borewarden.agent.service;

import org.jspecify.annotations.NullMarked;
