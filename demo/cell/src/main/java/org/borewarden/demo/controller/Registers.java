package org.borewarden.demo.controller;

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

/**
 * The controller's holding registers: block A may be written, block B may be read. A request is
 * served at one instant, so a block that is moved by one request is never torn by us.
 *
 * <p>Thread-safe.
 */
final class Registers implements ModbusServices {
  static final int A_SIZE = 20;
  static final int B_SIZE = 29;

  private final int unit;
  private final int base;
  private final int cellBase;
  private final Consumer<int[]> onWrite;
  private final int[] blockA = new int[A_SIZE];
  private final int[] blockB = new int[B_SIZE];
  private long writes;

  Registers(int unit, int base, int cellBase, Consumer<int[]> onWrite) {
    this.onWrite = onWrite;
    this.unit = unit;
    this.base = base;
    this.cellBase = cellBase;
  }

  /** Block A as it stands, for one scan. */
  synchronized int[] blockA() {
    return blockA.clone();
  }

  /** Shows block B. */
  synchronized void show(int[] words) {
    System.arraycopy(words, 0, blockB, 0, B_SIZE);
  }

  /** How often block A was written. */
  synchronized long writes() {
    return writes;
  }

  /** What a controller's memory holds after power up. */
  synchronized void clear() {
    Arrays.fill(blockA, 0);
    Arrays.fill(blockB, 0);
  }

  @Override
  public synchronized ReadHoldingRegistersResponse readHoldingRegisters(
      ModbusRequestContext context, int unitId, ReadHoldingRegistersRequest request)
      throws ModbusResponseException, UnknownUnitIdException {
    checkUnit(unitId);
    int from = request.address() - cellBase;
    if (from < 0 || from + request.quantity() > B_SIZE) {
      throw new ModbusResponseException(
          FunctionCode.READ_HOLDING_REGISTERS, ExceptionCode.ILLEGAL_DATA_ADDRESS);
    }
    byte[] bytes = new byte[2 * request.quantity()];
    for (int i = 0; i < request.quantity(); i++) {
      bytes[2 * i] = (byte) (blockB[from + i] >> 8);
      bytes[2 * i + 1] = (byte) blockB[from + i];
    }
    return new ReadHoldingRegistersResponse(bytes);
  }

  @Override
  public synchronized WriteMultipleRegistersResponse writeMultipleRegisters(
      ModbusRequestContext context, int unitId, WriteMultipleRegistersRequest request)
      throws ModbusResponseException, UnknownUnitIdException {
    checkUnit(unitId);
    int from = request.address() - base;
    if (from < 0 || from + request.quantity() > A_SIZE) {
      throw new ModbusResponseException(
          FunctionCode.WRITE_MULTIPLE_REGISTERS, ExceptionCode.ILLEGAL_DATA_ADDRESS);
    }
    byte[] bytes = request.values();
    for (int i = 0; i < request.quantity(); i++) {
      blockA[from + i] = ((bytes[2 * i] & 0xFF) << 8) | (bytes[2 * i + 1] & 0xFF);
    }
    writes++;
    onWrite.accept(blockA.clone());
    return new WriteMultipleRegistersResponse(request.address(), request.quantity());
  }

  private void checkUnit(int unitId) throws UnknownUnitIdException {
    if (unitId != unit) {
      throw new UnknownUnitIdException(unitId);
    }
  }
}
