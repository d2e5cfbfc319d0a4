package org.borewarden.agent;

import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideOutsideOfPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideOutsideOfPackages;
import static com.tngtech.archunit.core.domain.properties.HasName.Predicates.name;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The rooms of the agent and the arrows between them, as docs/architecture.md draws them. What a
 * room does not name here it must not use; so no adapter knows another, and none knows the loop.
 */
class ArrowsTest {
  private static final String ROOT = "org.borewarden.agent";

  private static final JavaClasses AGENT =
      new ClassFileImporter()
          .withImportOption(new ImportOption.DoNotIncludeTests())
          .importPackages(ROOT);

  @ParameterizedTest(name = "{0} may use {1}")
  @CsvSource({
    "clock,",
    "config,rules",
    "intake,rules",
    "frame,config",
    "decode,config rules",
    "capture,config rules",
    "source,capture config clock frame decode intake rules",
    "source.serial,source config",
    "source.tcp,source config",
    "source.file,source config",
    "source.modbus,source config clock",
    "source.mqtt,source config mqtt",
    "journal,clock config",
    "payload,rules",
    "loop,clock intake journal hold payload rules",
    "hold,rules",
    "hold.modbus,hold clock config intake rules",
    "hold.mqtt,hold clock mqtt publish rules",
    "mqtt,clock config",
    "publish,journal",
    "publish.mqtt,publish mqtt journal clock",
    "command,clock publish rules",
    "command.mqtt,command publish mqtt intake clock config rules",
    "command.local,command intake clock rules",
    "observe,clock rules",
    "sheet,config journal",
    "service,"
  })
  void aRoomUsesOnlyTheRoomsItMay(String room, String rooms) {
    classes()
        .that(resideInAPackage(ROOT + "." + room))
        .should()
        .onlyDependOnClassesThat(own(room, rooms == null ? "" : rooms))
        .check(AGENT);
  }

  @Test
  void theCommandLineUsesNoAdapterButTheClientsEndOfTheSocket() {
    classes()
        .that(resideInAPackage(ROOT + ".cli"))
        .should()
        .onlyDependOnClassesThat(
            own("cli", "config journal payload rules")
                .or(name(ROOT + ".command.local.LocalClient")))
        .check(AGENT);
  }

  @Test
  void nobodyDependsOnTheWiring() {
    noClasses()
        .that(resideOutsideOfPackage(ROOT))
        .should()
        .dependOnClassesThat(resideInAPackage(ROOT))
        .check(AGENT);
  }

  @Test
  void onlyTheWiringKnowsTheCommandLine() {
    noClasses()
        .that(resideOutsideOfPackage(ROOT).and(resideOutsideOfPackage(ROOT + ".cli")))
        .should()
        .dependOnClassesThat(resideInAPackage(ROOT + ".cli"))
        .check(AGENT);
  }

  @Test
  void everyRoomIsNamedHere() {
    classes()
        .should()
        .resideInAnyPackage(
            ROOT,
            ROOT + ".cli",
            ROOT + ".clock",
            ROOT + ".config",
            ROOT + ".intake",
            ROOT + ".frame",
            ROOT + ".decode",
            ROOT + ".capture",
            ROOT + ".source",
            ROOT + ".source.serial",
            ROOT + ".source.tcp",
            ROOT + ".source.file",
            ROOT + ".source.modbus",
            ROOT + ".source.mqtt",
            ROOT + ".journal",
            ROOT + ".payload",
            ROOT + ".loop",
            ROOT + ".hold",
            ROOT + ".hold.modbus",
            ROOT + ".hold.mqtt",
            ROOT + ".mqtt",
            ROOT + ".publish",
            ROOT + ".publish.mqtt",
            ROOT + ".command",
            ROOT + ".command.mqtt",
            ROOT + ".command.local",
            ROOT + ".observe",
            ROOT + ".sheet",
            ROOT + ".service")
        .check(AGENT);
  }

  @Test
  void theLoopNeverTouchesTheDiskNorTheNetwork() {
    noClasses()
        .that(resideInAPackage(ROOT + ".loop"))
        .should()
        .dependOnClassesThat(
            resideInAnyPackage("java.io..", "java.nio..", "java.net..", "java.sql..")
                .and(outsideOf("java.io.Serializable")))
        .check(AGENT);
  }

  @ParameterizedTest(name = "{0} stays in {1}")
  @CsvSource({
    "java.sql..,journal",
    "org.sqlite..,journal",
    "com.digitalpetri.modbus..,hold.modbus source.modbus",
    "com.fazecast..,source.serial",
    "org.eclipse.paho..,mqtt",
    "com.nimbusds..,command.mqtt",
    "io.micrometer..,observe",
    "org.apache.commons.csv..,sheet",
    "com.sun.net.httpserver..,observe",
    "com.sun.jna..,service"
  })
  void aLibraryStaysInItsRoom(String library, String room) {
    String[] rooms =
        Arrays.stream(room.split(" ", -1)).map(name -> ROOT + "." + name).toArray(String[]::new);
    noClasses()
        .that(resideOutsideOfPackages(rooms))
        .should()
        .dependOnClassesThat(resideInAPackage(library))
        .check(AGENT);
  }

  private static DescribedPredicate<JavaClass> outsideOf(String type) {
    return DescribedPredicate.not(name(type));
  }

  private static DescribedPredicate<JavaClass> own(String room, String rooms) {
    DescribedPredicate<JavaClass> may =
        resideOutsideOfPackage("org.borewarden..").or(resideInAPackage(ROOT + "." + room));
    for (String other : rooms.isEmpty() ? new String[0] : rooms.split(" ", -1)) {
      may =
          may.or(
              other.equals("rules")
                  ? resideInAPackage("org.borewarden.rules..")
                  : resideInAPackage(ROOT + "." + other));
    }
    return may;
  }
}
