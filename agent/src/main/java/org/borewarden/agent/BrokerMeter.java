package org.borewarden.agent;

import java.time.Duration;
import org.borewarden.agent.observe.Metrics;
import org.borewarden.agent.publish.mqtt.DeliveryListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Counts what becomes of the records, and says when the broker does not deliver.
 *
 * @param metrics where it is counted
 */
record BrokerMeter(Metrics metrics) implements DeliveryListener {
  private static final Logger LOG = LoggerFactory.getLogger(BrokerMeter.class);

  @Override
  public void changed(boolean delivers, String detail) {
    if (!delivers) {
      LOG.warn("broker: {}", detail);
    }
  }

  @Override
  public void acknowledged(long nanos) {
    metrics.brokers().published(Duration.ofNanos(nanos));
  }

  @Override
  public void setAside(String why) {
    metrics.journal().deadLetter(why);
  }
}
