# What a power cut asks of the system, quicker than by a program for each step:
#   perl power-cut.pl DEVICE FOLDER KIND
# takes one command a line (stop PID, go PID, mount, cut, unmount) and answers "ok" or why not.
use strict;
use warnings;
use POSIX ();

my ($device, $folder, $kind) = @ARGV;
my $machine = (POSIX::uname())[4];

# Linux numbers its calls by machine: mount, umount2.
my %calls = (x86_64 => [165, 166], aarch64 => [40, 39]);
my ($mount, $umount) = @{ $calls{$machine} || die "calls of $machine are not known\n" };

# FS_IOC_SHUTDOWN, for XFS XFS_IOC_GOINGDOWN, with the flag that leaves the log unflushed.
my $shutdown = 0x8004587d;
my $no_log_flush = 2;

sub cut {
    sysopen(my $root, $folder, POSIX::O_RDONLY()) or return 0;
    my $flag = pack('I', $no_log_flush);
    return ioctl($root, $shutdown, $flag);
}

# A process that got a copy of all mounts meanwhile may keep the dead file system alive a little:
# mounting would give that one back. The device is opened alone only when it is nobody's.
sub mount_fresh {
    for (1 .. 3000) {
        if (sysopen(my $alone, $device, POSIX::O_RDONLY() | POSIX::O_EXCL())) {
            close $alone;
            return syscall($mount, $device, $folder, $kind, 0, 0) == 0;
        }
        select undef, undef, undef, 0.01;
    }
    return 0;
}

$| = 1;
while (my $line = <STDIN>) {
    my ($what, $pid) = split ' ', $line;
    my $done =
        $what eq 'stop' ? kill('STOP', $pid)
      : $what eq 'go' ? kill('CONT', $pid)
      : $what eq 'mount' ? mount_fresh()
      : $what eq 'cut' ? cut()
      : $what eq 'unmount' ? syscall($umount, $folder, 0) == 0
      :                  die "what is $what?\n";
    print $done ? "ok\n" : "$what: $!\n";
}
