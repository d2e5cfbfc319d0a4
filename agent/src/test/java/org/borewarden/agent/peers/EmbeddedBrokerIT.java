package org.borewarden.agent.peers;

/** The contract asked of the demo's broker, once it is packaged. */
class EmbeddedBrokerIT extends BrokerContract {
  @Override
  TestBroker broker() {
    return EmbeddedBroker.start();
  }
}
