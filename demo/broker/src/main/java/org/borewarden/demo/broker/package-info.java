/** An embedded MQTT broker for the demo, and for tests on machines without one. Loopback only. */
@NullMarked
package org.borewarden.demo.broker;

import org.jspecify.annotations.NullMarked;
