package org.borewarden.agent.hold.modbus;

import com.digitalpetri.modbus.ExceptionCode;
import com.digitalpetri.modbus.FunctionCode;
import com.digitalpetri.modbus.exceptions.ModbusResponseException;
import com.digitalpetri.modbus.exceptions.UnknownUnitIdException;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersRequest;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersResponse;
import com.digitalpetri.modbus.pdu.WriteMultipleRegistersRequest;
import com.digitalpetri.modbus.pdu.WriteMultipleRegistersResponse;
import com.digitalpetri.modbus.server.ModbusRequestContext;
import com.digitalpetri.modbus.server.ModbusServices;
import java.util.Arrays;
import java.util.function.Consumer;
import org.borewarden.agent.config.CellConfig;

/**
 * The registers that a controller polls: block A may be read, block B read and written, nothing
 * else exists (exception 02), and no other function is served (exception 01). A request is served
 * at one instant, so an image is never torn by us.
 *
 * <p>Thread-safe. Block A is set on the loop thread, requests come on the library's threads.
 */
final class AgentRegisters implements ModbusServices {
  private final CellConfig.Modbus config;
  private final LinkMeter meter;
  private final Runnable onPoll;
  private final Consumer<int[]> onWrite;
  private final int[] blockA = new int[RegisterMap.A_SIZE];
  private final int[] blockB = new int[RegisterMap.B_SIZE];

  AgentRegisters(
      CellConfig.Modbus config, LinkMeter meter, Runnable onPoll, Consumer<int[]> onWrite) {
    this.config = config;
    this.meter = meter;
    this.onPoll = onPoll;
    this.onWrite = onWrite;
  }

  synchronized void show(int[] words) {
    System.arraycopy(words, 0, blockA, 0, blockA.length);
  }

  synchronized int[] shown() {
    return blockA.clone();
  }

  @Override
  public ReadHoldingRegistersResponse readHoldingRegisters(
      ModbusRequestContext context, int unitId, ReadHoldingRegistersRequest request)
      throws ModbusResponseException, UnknownUnitIdException {
    check(unitId);
    int[] words = new int[request.quantity()];
    synchronized (this) {
      for (int i = 0; i < words.length; i++) {
        int address = request.address() + i;
        if (inside(address, config.base(), RegisterMap.A_SIZE)) {
          words[i] = blockA[address - config.base()];
        } else if (inside(address, config.cellBase(), RegisterMap.B_SIZE)) {
          words[i] = blockB[address - config.cellBase()];
        } else {
          throw noSuchRegister(FunctionCode.READ_HOLDING_REGISTERS);
        }
      }
    }
    if (request.address() <= config.base()) {
      onPoll.run();
    }
    return new ReadHoldingRegistersResponse(ControllerConnection.bytes(words));
  }

  @Override
  public WriteMultipleRegistersResponse writeMultipleRegisters(
      ModbusRequestContext context, int unitId, WriteMultipleRegistersRequest request)
      throws ModbusResponseException, UnknownUnitIdException {
    check(unitId);
    int from = request.address() - config.cellBase();
    int[] words = ControllerConnection.words(request.values());
    if (words.length != request.quantity()
        || from < 0
        || from + words.length > RegisterMap.B_SIZE) {
      throw noSuchRegister(FunctionCode.WRITE_MULTIPLE_REGISTERS);
    }
    int[] whole;
    synchronized (this) {
      System.arraycopy(words, 0, blockB, from, words.length);
      whole = Arrays.copyOf(blockB, blockB.length);
    }
    onWrite.accept(whole);
    return new WriteMultipleRegistersResponse(request.address(), request.quantity());
  }

  /** Requests for another unit get no answer at all. */
  private void check(int unitId) throws UnknownUnitIdException {
    if (unitId != config.unit()) {
      meter.refused("unit");
      throw new UnknownUnitIdException(unitId);
    }
  }

  private ModbusResponseException noSuchRegister(FunctionCode function) {
    meter.refused("address");
    return new ModbusResponseException(function, ExceptionCode.ILLEGAL_DATA_ADDRESS);
  }

  private static boolean inside(int address, int from, int count) {
    return address >= from && address < from + count;
  }
}
