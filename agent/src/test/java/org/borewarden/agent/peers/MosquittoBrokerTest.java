package org.borewarden.agent.peers;

/** The contract asked of a mosquitto process. */
class MosquittoBrokerTest extends BrokerContract {
  @Override
  TestBroker broker() {
    return TestBroker.mosquitto("allow_anonymous true");
  }
}
