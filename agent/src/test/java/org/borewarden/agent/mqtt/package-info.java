/** Tests of the link, against real brokers and stand-ins for bad ones. */
@NullMarked
package org.borewarden.agent.mqtt;

import org.jspecify.annotations.NullMarked;
