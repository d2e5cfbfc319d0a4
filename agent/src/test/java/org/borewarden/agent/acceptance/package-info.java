/**
 * The built distribution among foreign peers: a broker, serial cables, a controller, and clients
 * that are not ours.
 */
@NullMarked
package org.borewarden.agent.acceptance;

import org.jspecify.annotations.NullMarked;
